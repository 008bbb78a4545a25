"""What My log needs: sessions as they were done, and the way of one exercise."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Any

from django.core.paginator import Page, Paginator

from clients.models import BodyWeight, Client, User
from clients.templatetags.in_words import day
from coaching.library.models import Exercise
from coaching.rules.plan import Measure, WeekKind
from sessions.models import LoggedSession, LoggedSet
from sessions.queries_phone import exercise_log, log_of
from sessions.set_words import done_words

SESSIONS_A_PAGE = 10
WEIGHTS_SHOWN = 8
TIMES_SHOWN = 20
SPARK_WIDTH, SPARK_HEIGHT = 300, 60


@dataclass(frozen=True)
class DoneExercise:
    """One exercise of a logged session in words."""

    exercise_id: int
    name: str
    side: str
    sets: str
    pain: str


@dataclass(frozen=True)
class DoneSession:
    """One logged session in words."""

    on: date
    name: str
    is_light: bool
    effort: str
    skipped: str
    is_running: bool
    note: str
    exercises: tuple[DoneExercise, ...]


@dataclass(frozen=True)
class MyLogPage:
    """A page of sessions, newest first, and the newest body weights."""

    client: Client
    for_coach: bool
    pages: Page[LoggedSession]
    sessions: tuple[DoneSession, ...]
    weights: tuple[BodyWeight, ...]
    weight_spark: dict[str, Any] | None
    data: dict[str, Any]


@dataclass(frozen=True)
class ExercisePage:
    """One exercise, time by time, newest first, with its line."""

    client: Client
    for_coach: bool
    exercise: Exercise
    times: tuple[tuple[date, str, str], ...]
    spark: dict[str, Any] | None
    spark_words: str
    data: dict[str, Any]


def my_log_page(client: Client, user: User, urls: dict[str, str], number: str) -> MyLogPage:
    """One page of the log; 5 queries."""
    pages = Paginator(log_of(client), SESSIONS_A_PAGE).get_page(number)
    weights = tuple(BodyWeight.objects.filter(client=client).order_by("-on")[:WEIGHTS_SHOWN])
    return MyLogPage(
        client=client,
        for_coach=user.is_coach,
        pages=pages,
        sessions=tuple(_done_session(row) for row in pages.object_list),
        weights=weights,
        weight_spark=sparkline(
            "Body weight [kg]", [(w.on, float(w.kg)) for w in reversed(weights)], "kg"
        ),
        data=_phone_data(client, user, urls),
    )


def exercise_page(
    client: Client, user: User, exercise: Exercise, urls: dict[str, str]
) -> ExercisePage:
    """The newest times that an exercise was done."""
    rows = exercise_log(client, exercise.pk, TIMES_SHOWN)
    times = [list(group) for _, group in groupby(rows, key=lambda row: row.logged_session_id)]
    unit = "s" if exercise.measure == Measure.SECONDS else "reps"
    values = [(sets[0].logged_session.on, float(sum(row.amount for row in sets))) for sets in times]
    words = "Seconds of all sets together" if unit == "s" else "Reps of all sets together"
    return ExercisePage(
        client=client,
        for_coach=user.is_coach,
        exercise=exercise,
        times=tuple(
            (sets[0].logged_session.on, _sets_words(sets, exercise), _pain_words(sets))
            for sets in reversed(times)
        ),
        spark=sparkline(f"{exercise.name}: {words.lower()}", values, unit),
        spark_words=words,
        data=_phone_data(client, user, urls),
    )


def _phone_data(client: Client, user: User, urls: dict[str, str]) -> dict[str, Any]:
    with_whom = "in the log" if user.is_coach else "with your coach"
    return {**urls, "user": user.pk, "client": client.pk, "with_whom": with_whom}


def _done_session(row: LoggedSession) -> DoneSession:
    sets = sorted(row.sets.all(), key=lambda s: (s.done_at, s.pk))
    by_exercise: dict[int, list[LoggedSet]] = {}
    for one in sets:
        by_exercise.setdefault(one.exercise_id, []).append(one)
    return DoneSession(
        on=row.on,
        name=row.name,
        is_light=row.kind == WeekKind.DELOAD.value,
        effort="" if row.rpe is None else f"{float(row.rpe):g} of 10",
        skipped=row.skipped_reason,
        is_running=row.finished_at is None and not row.skipped_reason,
        note=row.note,
        exercises=tuple(_done_exercise(group) for group in by_exercise.values()),
    )


def _done_exercise(sets: Sequence[LoggedSet]) -> DoneExercise:
    exercise = sets[0].exercise
    return DoneExercise(
        exercise_id=exercise.pk,
        name=exercise.name,
        side=exercise.pattern if exercise.pattern in ("push", "pull") else "",
        sets=_sets_words(sets, exercise),
        pain=_pain_words(sets),
    )


def _sets_words(sets: Sequence[LoggedSet], exercise: Exercise) -> str:
    ordered = sorted(sets, key=lambda s: (s.number, s.pk))
    amounts, loads = [s.amount for s in ordered], [float(s.load_kg) for s in ordered]
    return done_words(amounts, loads, exercise.measure, exercise.load_kind)


def _pain_words(sets: Sequence[LoggedSet]) -> str:
    """The worst pain of these sets and where, nothing when none was marked."""
    marked = [s for s in sets if s.pain]
    if not marked:
        return ""
    worst = max(marked, key=lambda s: s.pain or 0)
    where = f", {worst.pain_where}" if worst.pain_where else ""
    return f"pain {worst.pain} of 10{where}"


def sparkline(label: str, values: Sequence[tuple[date, float]], unit: str) -> dict[str, Any] | None:
    """A small line through values of days, none when there is only one."""
    if len(values) < 2:
        return None
    low, high = min(v for _, v in values), max(v for _, v in values)
    first, last = values[0][0], values[-1][0]
    days = max((last - first).days, 1)
    points = " ".join(
        f"{(on - first).days / days * SPARK_WIDTH:.1f},"
        f"{SPARK_HEIGHT - 4 - (v - low) / ((high - low) or 1) * (SPARK_HEIGHT - 8):.1f}"
        for on, v in values
    )
    return {
        "label": f"{label}, from {values[0][1]:g} to {values[-1][1]:g} {unit}",
        "width": SPARK_WIDTH,
        "height": SPARK_HEIGHT,
        "points": points,
        "band": "",
        "onset_x": None,
        "onset_label": "",
        "start_label": f"{day(first)}: {values[0][1]:g} {unit}",
        "end_label": f"{day(last)}: {values[-1][1]:g} {unit}",
        "zero_y": None,
        "small": False,
        "rows": (),
    }
