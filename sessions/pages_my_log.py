"""What My log needs: sessions as they were done, those that were missed, and body weight."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.core.paginator import Page, Paginator

from clients.models import BodyWeight, Client, User
from coaching.blocks.models import PlannedSession
from coaching.rules.plan import WeekKind
from sessions.log_change_words import Told, told_changes
from sessions.log_chart import ChartValue, LogChart, log_chart
from sessions.models import LoggedSession, LoggedSet
from sessions.queries_log_changes import log_changes
from sessions.queries_phone import log_of, missed_sessions
from sessions.revisions import DAYS_OPEN_TO_CORRECT
from sessions.set_words import done_words

SESSIONS_A_PAGE = 10
WEIGHTS_SHOWN = 8
WEIGHTS_DRAWN = 40


@dataclass(frozen=True)
class DoneExercise:
    """One exercise of a logged session in words."""

    exercise_id: int
    name: str
    side: str
    sets: str
    warm_up: str
    pain: str
    notes: tuple[str, ...]
    corrections: tuple[str, ...]


@dataclass(frozen=True)
class DoneSession:
    """One logged session in words."""

    uid: UUID
    on: date
    name: str
    is_light: bool
    effort: str
    skipped: str
    is_running: bool
    note: str
    exercises: tuple[DoneExercise, ...]
    changes: tuple[str, ...]
    can_correct: bool


@dataclass(frozen=True)
class MyLogPage:
    """A page of sessions, newest first, what was missed lately, and the newest body weights."""

    client: Client
    for_coach: bool
    pages: Page[LoggedSession]
    sessions: tuple[DoneSession, ...]
    missed: tuple[PlannedSession, ...]
    weight: BodyWeight | None
    weights: tuple[BodyWeight, ...]
    weight_chart: LogChart | None
    data: dict[str, Any]


def my_log_page(
    client: Client, user: User, now: datetime, urls: dict[str, str], number: str
) -> MyLogPage:
    """One page of the log; 10 queries at most, 14 for a coach whose client avoids something."""
    today = client.local_date(now)
    pages = Paginator(log_of(client), SESSIONS_A_PAGE).get_page(number)
    rows = list(pages.object_list)
    told = told_changes(client, log_changes(client, rows, with_limits=user.is_coach))
    open_from = date.min if user.is_coach else today - timedelta(days=DAYS_OPEN_TO_CORRECT)
    weights = list(BodyWeight.objects.filter(client=client).order_by("-on")[:WEIGHTS_DRAWN])
    return MyLogPage(
        client=client,
        for_coach=user.is_coach,
        pages=pages,
        sessions=tuple(_done_session(row, told, open_from) for row in rows),
        missed=_missed(client, today) if pages.number == 1 else (),
        weight=next(iter(weights), None),
        weights=tuple(weights[:WEIGHTS_SHOWN]),
        weight_chart=log_chart(
            "Body weight", [ChartValue(w.on, float(w.kg)) for w in reversed(weights)], "kg"
        ),
        data=phone_data(client, user, today, urls),
    )


def _missed(client: Client, today: date) -> tuple[PlannedSession, ...]:
    """What was planned before today and may still be logged, newest first; 1 query."""
    since = today - timedelta(days=DAYS_OPEN_TO_CORRECT)
    return tuple(missed_sessions(client, since, today - timedelta(days=1)))


def phone_data(client: Client, user: User, today: date, urls: dict[str, str]) -> dict[str, Any]:
    """What the scripts of a log page work on; no query."""
    with_whom = "in the log" if user.is_coach else "with your coach"
    about = {"user": user.pk, "client": client.pk, "today": today.isoformat()}
    return {**urls, **about, "zone": client.time_zone, "with_whom": with_whom}


def _done_session(row: LoggedSession, told: Iterable[Told], open_from: date) -> DoneSession:
    sets = sorted(row.sets.all(), key=lambda s: (s.done_at, s.pk))
    by_exercise: dict[int, list[LoggedSet]] = {}
    for one in sets:
        by_exercise.setdefault(one.exercise_id, []).append(one)
    mine = [one for one in told if one.session == row.pk]
    return DoneSession(
        uid=row.uid,
        on=row.on,
        name=row.name,
        is_light=row.kind == WeekKind.DELOAD.value,
        effort="" if row.rpe is None else f"{float(row.rpe):g} of 10",
        skipped=row.skipped_reason,
        is_running=row.finished_at is None and not row.skipped_reason,
        note=row.note,
        exercises=tuple(_done_exercise(group, mine) for group in by_exercise.values()),
        changes=tuple(str(one) for one in mine if one.exercise not in by_exercise),
        can_correct=row.on >= open_from,
    )


def _done_exercise(sets: Sequence[LoggedSet], told: Iterable[Told]) -> DoneExercise:
    exercise = sets[0].exercise
    warm_up = [one for one in sets if one.warm_up]
    return DoneExercise(
        exercise_id=exercise.pk,
        name=exercise.name,
        side=exercise.pattern if exercise.pattern in ("push", "pull") else "",
        sets=sets_in_words([one for one in sets if not one.warm_up]),
        warm_up=sets_in_words(warm_up),
        pain=pain_words(sets),
        notes=note_words(sets),
        corrections=tuple(
            f"Set {one.about.rpartition(' ')[2]}: {one.words}"
            for one in told
            if one.exercise == exercise.pk
        ),
    )


def sets_in_words(sets: Sequence[LoggedSet]) -> str:
    """Sets of one exercise in the order of their numbers, nothing when there are none."""
    if not sets:
        return ""
    exercise = sets[0].exercise
    ordered = sorted(sets, key=lambda s: (s.number, s.pk))
    amounts, loads = [s.amount for s in ordered], [float(s.load_kg) for s in ordered]
    return done_words(amounts, loads, exercise.measure, exercise.load_kind)


def pain_words(sets: Sequence[LoggedSet]) -> str:
    """The worst pain of these sets and where, nothing when none was marked."""
    marked = [s for s in sets if s.pain]
    if not marked:
        return ""
    worst = max(marked, key=lambda s: s.pain or 0)
    where = f", {worst.pain_where}" if worst.pain_where else ""
    return f"pain {worst.pain} of 10{where}"


def note_words(sets: Sequence[LoggedSet]) -> tuple[str, ...]:
    """What was noted on these sets."""
    return tuple(f"Set {s.number}: “{s.note}”" for s in sets if s.note)
