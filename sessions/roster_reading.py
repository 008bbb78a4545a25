"""A roster's readings, of which only those are made anew whose rows changed.

Reading a week takes some hundredths of a second for each client, and the review shows the
whole list again after every act. So each reading is kept in memory beside a *mark*: counts,
newest ids and sums of the rows that it rests on. The marks of a whole roster cost ten
queries; a client whose mark is as it was is not read again. A library that the coach
edits has no mark, so nothing is kept longer than ``KEPT_FOR``.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from threading import Lock
from time import monotonic
from typing import Any

from django.db.models import Count, Max, QuerySet, Sum, prefetch_related_objects

from clients.models import BodyWeight, Client, Equipment, JointLimit
from coaching.blocks.models import BlockVersion, JointLimitOverride, Week
from coaching.library.models import MovementGoal
from sessions.kept_abilities import forget_abilities
from sessions.models import LoggedSession, LoggedSet
from sessions.queries import week_start
from sessions.replay_reading import read_reviewed_week
from sessions.week_reading import WeekReading, followed_from, ranking_key
from sessions.word_models import Word

KEPT_FOR = 300.0
"""How long a reading is kept [s]."""
KEPT_AT_MOST = 1000
WEEKS_KEPT = 3
"""A kept reading holds the sessions of the last weeks only; a panel reads its client anew."""

Mark = tuple[Any, ...]


@dataclass(frozen=True)
class _Kept:
    mark: Mark
    until: float
    reading: WeekReading


_KEPT: dict[tuple[int, date], _Kept] = {}
_READING = Lock()
"""Held while a roster is read: whoever asks meanwhile waits for it and reads nothing twice."""


def forget_readings() -> None:
    """Read everything anew the next time."""
    _KEPT.clear()
    forget_abilities()


def read_roster_weeks(
    clients: Sequence[Client], week_starts_on: date, today: date
) -> list[WeekReading]:
    """The readings of a roster in the order they need the coach, slim where they were kept.

    10 queries, and 18 to 22 more when at least one client has to be read.
    """
    with _READING:
        return _read_roster(clients, week_starts_on, today)


def _read_roster(clients: Sequence[Client], week_starts_on: date, today: date) -> list[WeekReading]:
    marks = _marks(clients, week_starts_on, today)
    now = monotonic()
    found: dict[int, WeekReading] = {}
    for client in clients:
        kept = _KEPT.get((client.pk, week_starts_on))
        if kept is not None and kept.mark == marks[client.pk] and kept.until > now:
            found[client.pk] = replace(kept.reading, client=client)
    stale = [client for client in clients if client.pk not in found]
    for reading in read_reviewed_week(stale, week_starts_on, today) if stale else ():
        slim = _slim(reading)
        found[reading.client.pk] = slim
        _keep(slim, marks[reading.client.pk], now)
    return sorted(found.values(), key=ranking_key)


def _keep(reading: WeekReading, mark: Mark, now: float) -> None:
    if len(_KEPT) >= KEPT_AT_MOST:
        _KEPT.clear()
    key = (reading.client.pk, reading.week_starts_on)
    _KEPT[key] = _Kept(mark, now + KEPT_FOR, reading)


def _slim(reading: WeekReading) -> WeekReading:
    since = reading.week_starts_on - timedelta(weeks=WEEKS_KEPT - 1)
    sessions = tuple(s for s in reading.sessions if s.on >= since)
    return replace(reading, sessions=sessions, ability=None, asks=None)


def _marks(clients: Sequence[Client], week_starts_on: date, today: date) -> dict[int, Mark]:
    """What tells whether something changed that a client's reading rests on."""
    # Nothing where the coach came with the client, one query for all of them otherwise.
    prefetch_related_objects(clients, "coach")
    window = (
        followed_from(week_starts_on),
        max(today, week_start(week_starts_on) + timedelta(days=6)),
    )
    sessions = LoggedSession.objects.filter(client__in=clients, on__range=window)
    sets = LoggedSet.objects.filter(
        logged_session__client__in=clients, logged_session__on__range=window
    )
    rows = [
        _sums(sessions, "client", "revision", "rpe", "body_weight_kg", counted=("finished_at",)),
        _sums(
            sets,
            "logged_session__client",
            *("revision", "amount", "load_kg", "target", "rir", "pain"),
            counted=("removed_at",),
        ),
        *_sums_of_plans(clients),
        _sums(BodyWeight.objects.filter(client__in=clients), "client", "kg"),
        _sums(Equipment.objects.filter(client__in=clients), "client", "bar_kg"),
        _sums(JointLimit.objects.filter(client__in=clients), "client", counted=("until",)),
        _sums(
            JointLimitOverride.objects.filter(client__in=clients),
            "client",
            counted=("withdrawn_at",),
        ),
    ]
    return {
        client.pk: (
            *(today, client.created_at, client.stature_cm, client.sex, client.born_in),
            client.coach.false_alarms_a_year,
            *(found[client.pk] for found in rows),
        )
        for client in clients
    }


def _sums_of_plans(clients: Sequence[Client]) -> tuple[dict[int, Mark], ...]:
    """What tells of a change of the blocks, the goals and the client's words; 4 queries."""
    versions = BlockVersion.objects.filter(block__client__in=clients)
    weeks = Week.objects.filter(block__client__in=clients)
    goals = MovementGoal.objects.filter(client__in=clients)
    words = Word.objects.filter(client__in=clients, from_client=True)
    return (
        _sums(versions, "block__client"),
        _sums(weeks, "block__client", "number"),
        _sums(goals, "client", "reps", counted=("reached_on",)),
        _sums(words, "client", "revision", counted=("removed_at",)),
    )


def _sums(
    rows: QuerySet[Any], client: str, *summed: str, counted: Iterable[str] = ()
) -> dict[int, Mark]:
    """How many rows each client has, the newest of them, and sums of what may change; 1 query."""
    wanted: dict[str, Any] = {"n": Count("pk"), "newest": Max("pk")}
    wanted |= {f"sum_{name}": Sum(name) for name in summed}
    wanted |= {f"count_{name}": Count(name) for name in counted}
    found: dict[int, Mark] = defaultdict(tuple)
    for row in rows.order_by().values(client).annotate(**wanted):
        found[row[client]] = tuple(row[name] for name in wanted)
    return found
