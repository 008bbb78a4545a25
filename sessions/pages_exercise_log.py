"""What My log needs of one exercise: its chart, its best sets, and each time it was done."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from typing import Any

from clients.models import Client, User
from coaching.library.models import Exercise
from coaching.rules.plan import Laterality, Measure, WeekKind
from sessions.best_results import (
    How,
    Result,
    amount_of,
    best_words,
    by_load,
    day_words,
    load_of,
)
from sessions.log_chart import ChartValue, LogChart, log_chart
from sessions.models import LoggedSet
from sessions.pages_my_log import note_words, pain_words, phone_data, sets_in_words
from sessions.queries_phone import exercise_log, exercise_results

TIMES_SHOWN = 20
LOADS_SHOWN = 8


@dataclass(frozen=True)
class DoneTime:
    """One session in which the exercise was done."""

    on: date
    is_light: bool
    sets: str
    pain: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class ExercisePage:
    """One exercise, time by time, newest first, with its chart and its best sets."""

    client: Client
    for_coach: bool
    exercise: Exercise
    times: tuple[DoneTime, ...]
    chart: LogChart | None
    chart_words: str
    bests: tuple[str, ...]
    most_column: str
    loads: tuple[tuple[str, str, str], ...]
    """Per load, where there were several: load, largest amount, day."""
    data: dict[str, Any]


def exercise_page(
    client: Client, user: User, exercise: Exercise, now: datetime, urls: dict[str, str]
) -> ExercisePage:
    """The newest times that an exercise was done, and the best of all times; 3 queries."""
    today = client.local_date(now)
    rows = exercise_log(client, exercise.pk, TIMES_SHOWN)
    times = [list(group) for _, group in groupby(rows, key=lambda row: row.logged_session_id)]
    unit = "s" if exercise.measure == Measure.SECONDS else "reps"
    words = "Seconds of all sets together" if unit == "s" else "Reps of all sets together"
    results = [Result(*row) for row in exercise_results(client, exercise.pk)]
    how = How(
        exercise.measure, exercise.load_kind, exercise.laterality == Laterality.UNILATERAL.value
    )
    return ExercisePage(
        client=client,
        for_coach=user.is_coach,
        exercise=exercise,
        times=tuple(_done_time(sets) for sets in reversed(times)),
        chart=log_chart(f"{exercise.name}: {words.lower()}", [_value(s) for s in times], unit),
        chart_words=words,
        bests=best_words(results, how, today),
        most_column="Longest hold" if unit == "s" else "Most reps",
        loads=_loads(results, how, today),
        data=phone_data(client, user, today, urls),
    )


def _loads(results: Iterable[Result], how: How, today: date) -> tuple[tuple[str, str, str], ...]:
    found = by_load(results, how)
    if len(found) < 2:
        return ()
    return tuple(
        (load_of(one, how), amount_of(one, how), day_words(one.on, today))
        for one in found[:LOADS_SHOWN]
    )


def _value(sets: Sequence[LoggedSet]) -> ChartValue:
    session = sets[0].logged_session
    return ChartValue(session.on, float(sum(row.amount for row in sets)), _is_light(sets))


def _done_time(sets: Sequence[LoggedSet]) -> DoneTime:
    return DoneTime(
        on=sets[0].logged_session.on,
        is_light=_is_light(sets),
        sets=sets_in_words(sets),
        pain=pain_words(sets),
        notes=note_words(sets),
    )


def _is_light(sets: Sequence[LoggedSet]) -> bool:
    return sets[0].logged_session.kind == WeekKind.DELOAD.value
