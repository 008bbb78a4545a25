"""The rows that past weeks of a roster are read from, with the days since when each was known.

A fixed number of queries for any number of clients and weeks. Rows that were overwritten since are
read as they stand: the weeks and sessions of a plan, and, where no moment is given, sets that were corrected.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from clients.models import BodyWeight, Client, JointLimit
from coaching.blocks.limit_queries import limit_value, override_values
from coaching.blocks.models import JointLimitOverride, Prescription, Week
from coaching.blocks.queries import published_sessions
from coaching.library.queries import exercise_values
from coaching.rules import joint_limits, log
from coaching.rules.findings import Finding
from coaching.rules.plan import Exercise
from sessions.goals_reached import Goal, goals_by_client
from sessions.week_facts import WEEKS_REMEMBERED, sessions_between
from sessions.word_warnings import Said, words_of_clients


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """A planned session: when it was begun, on which day it was done or skipped, and why."""

    on: date
    name: str
    begun_on: date | None
    skipped_reason: str

    def as_of(self, day: date) -> log.Attendance:
        """What had become of it on a day."""
        begun = self.begun_on is not None and self.begun_on <= day
        done = begun and not self.skipped_reason
        return log.Attendance(self.on, self.name, done, self.skipped_reason if begun else "")


@dataclass(frozen=True, slots=True)
class PlannedExercise:
    """One exercise of a planned session of a block that may have been published later."""

    exercise_id: int
    on: date
    begun_on: date | None
    known_from: date


@dataclass
class ClientHistory:
    """All that is known of one client by now, to be asked what was known on a day."""

    client: Client
    sessions: tuple[log.LoggedSession, ...] = ()
    weighings: list[BodyWeight] = field(default_factory=list)
    planned: list[PlannedDay] = field(default_factory=list)
    weeks: list[tuple[date, Week]] = field(default_factory=list)
    """Weeks of published blocks, each with the day from which it was known."""
    limits: list[joint_limits.JointLimit] = field(default_factory=list)
    overrides: list[JointLimitOverride] = field(default_factory=list)
    asked: list[PlannedExercise] = field(default_factory=list)
    goals: tuple[Goal, ...] = ()
    words: tuple[Said, ...] = ()

    def weight(self, day: date) -> float | None:
        """The newest body weight up to a day [kg]."""
        known = [row for row in self.weighings if row.on <= day]
        return float(known[-1].kg) if known else None

    def attendance(
        self, days: tuple[date, date], last_day: date, as_of: date
    ) -> tuple[log.Attendance, ...]:
        """What had become of the sessions of those days by the last one that was known."""
        start, end = days
        due = [one.as_of(last_day) for one in self.planned if start <= one.on <= end]
        return tuple(one for one in due if one.done or one.skipped_reason or one.on < as_of)

    def known_weeks(self, week_starts_on: date, last_day: date) -> list[Week]:
        """The weeks of blocks that had begun or were published by a day."""
        first = week_starts_on - WEEKS_REMEMBERED
        return [w for known, w in self.weeks if known <= last_day and w.starts_on >= first]

    def avoided(
        self, last_day: date, as_of: date, exercises: Mapping[int, Exercise]
    ) -> tuple[Finding, ...]:
        """What was planned from then on and loads what the client had to avoid, undecided."""
        joints = self._joints(last_day)
        days: dict[int, list[date]] = defaultdict(list)
        for one in self.asked if joints.limits else ():
            open_still = one.begun_on is None or one.begun_on > last_day
            if one.on >= as_of and one.known_from <= last_day and open_still:
                days[one.exercise_id].append(one.on)
        found: list[Finding] = []
        for pk, on in sorted(days.items(), key=lambda item: (min(item[1]), item[0])):
            ends = (min(on), max(on))
            blocking = [one for day in ends for one in joints.blocking(exercises[pk], day)]
            found += [
                joint_limits.limit_finding(exercises[pk], one) for one in dict.fromkeys(blocking)
            ]
        return tuple(found)

    def _joints(self, day: date) -> joint_limits.Joints:
        """The limits written down by a day, without an end that came later."""
        limits = tuple(
            replace(one, until=None if one.until and one.until > day else one.until)
            for one in self.limits
            if one.since is None or one.since <= day
        )
        standing = [
            row
            for row in self.overrides
            if self.client.local_date(row.given_at) <= day
            and (row.withdrawn_at is None or self.client.local_date(row.withdrawn_at) > day)
        ]
        return joint_limits.Joints(limits, override_values(standing) if limits else ())


Histories = dict[int, ClientHistory]


@dataclass(frozen=True)
class RosterHistory:
    """What is known of each client by now, and the planned exercises that limits are held against."""

    clients: Histories
    exercises: Mapping[int, Exercise]


def histories_of(
    clients: Sequence[Client],
    first: date,
    read: date,
    last: date,
    known_by: datetime | None = None,
) -> RosterHistory:
    """The history of each client up to a day; 9 queries, 4 more when somebody has a limit.

    Args:
        clients: Whose.
        first: From this day on sessions are read.
        read: From this day on planned sessions are read.
        last: The last day.
        known_by: With a moment, sets are read as they stood then.
    """
    found = {client.pk: ClientHistory(client) for client in clients}
    # A body weight that is not known yet is put in week by week.
    unknown = dict.fromkeys(found, float("nan"))
    for pk, sessions in sessions_between(clients, (first, last), unknown, {}, known_by).items():
        found[pk].sessions = sessions
    for weighing in BodyWeight.objects.filter(client__in=found, on__lte=last).order_by("on"):
        found[weighing.client_id].weighings.append(weighing)
    for pk, goals in goals_by_client(list(found)).items():
        found[pk].goals = goals
    for pk, words in words_of_clients(clients, read).items():
        found[pk].words = words
    _plan_into(found, read, last)
    return RosterHistory(found, _limits_into(found, read))


def _plan_into(found: Histories, read: date, last: date) -> None:
    rows = published_sessions(list(found), read, last).values_list(
        "week__block__client_id",
        "on",
        "name",
        "started_at",
        "logged_session__on",
        "logged_session__skipped_reason",
    )
    for pk, on, name, started_at, logged_on, skipped in rows:
        begun_on = _begun_on(found[pk].client, started_at, logged_on)
        found[pk].planned.append(PlannedDay(on, name, begun_on, skipped or ""))
    weeks = Week.objects.filter(
        block__client__in=found,
        block__published_at__isnull=False,
        starts_on__gte=read - WEEKS_REMEMBERED,
    )
    for week in weeks.select_related("block").order_by("starts_on"):
        block, one = week.block, found[week.block.client_id]
        if block.published_at is not None:
            known_from = _known_from(one.client, block.starts_on, block.published_at)
            one.weeks.append((known_from, week))


def _limits_into(found: Histories, read: date) -> Mapping[int, Exercise]:
    """Joint limits and what they are held against; the planned exercises."""
    for row in JointLimit.objects.filter(client__in=found):
        found[row.client_id].limits.append(limit_value(row))
    limited = [pk for pk, one in found.items() if one.limits]
    if not limited:
        return {}
    overrides = JointLimitOverride.objects.filter(client__in=limited)
    for override in overrides.select_related("client", "exercise", "by"):
        found[override.client_id].overrides.append(override)
    session = "pair__planned_session"
    block = f"{session}__week__block"
    rows = Prescription.objects.filter(
        **{f"{block}__client__in": limited, f"{block}__published_at__isnull": False},
        pair__planned_session__on__gte=read,
    ).values_list(
        f"{block}__client_id",
        "exercise_id",
        f"{session}__on",
        f"{session}__started_at",
        f"{session}__logged_session__on",
        f"{block}__starts_on",
        f"{block}__published_at",
    )
    for pk, exercise_id, on, started_at, logged_on, starts_on, published_at in rows:
        client = found[pk].client
        known_from = _known_from(client, starts_on, published_at)
        begun_on = _begun_on(client, started_at, logged_on)
        found[pk].asked.append(PlannedExercise(exercise_id, on, begun_on, known_from))
    return exercise_values({one.exercise_id for pk in limited for one in found[pk].asked})


def _begun_on(client: Client, started_at: datetime | None, logged_on: date | None) -> date | None:
    """The day on which a planned session was begun, none when it was not."""
    if started_at is None:
        return None
    return logged_on or client.local_date(started_at)


def _known_from(client: Client, starts_on: date, published_at: datetime) -> date:
    """The day from which a block was known: its first, or that of publishing if that was before."""
    return min(starts_on, client.local_date(published_at))
