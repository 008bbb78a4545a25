"""What each past week of a log would have said, client by client; values only, no database.

Weeks that the review follows from the same Monday rest on one belief that goes on from week to week.
"""

import os
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field, replace
from datetime import date
from math import isnan
from multiprocessing import get_context

from coaching.rules.ability import Ability, Believed
from coaching.rules.body import Body
from coaching.rules.bodyweight_load import fitted
from coaching.rules.exposures import ExposureReader
from coaching.rules.findings import Finding
from coaching.rules.log import Attendance, LoggedSession
from coaching.rules.numbers import BODY_WEIGHT_UNKNOWN
from coaching.rules.plan import Exercise
from coaching.rules.signals import read_signals

WORTH_PROCESSES = 300
"""From so many weeks of clients on, starting another process costs less than it saves."""

Findings = tuple[Finding, ...]


@dataclass(frozen=True)
class KnownWeek:
    """What was known at the end of a week besides the log.

    ``followed_from`` and ``read_from`` are the first days that the belief and the other rules
    look at, ``last_day`` is the last one that was known, ``weight`` [kg] and ``body`` as of it;
    ``as_of`` is the day of the review.
    """

    followed_from: date
    read_from: date
    last_day: date
    as_of: date
    attendance: tuple[Attendance, ...]
    weight: float | None
    body: Body | None


@dataclass(frozen=True)
class ClientLog:
    """All weeks of one client to be read; body weights that no session names are not a number."""

    sessions: tuple[LoggedSession, ...]
    weeks: tuple[KnownWeek, ...]
    false_alarms_a_year: float


def findings_of_clients(logs: Sequence[ClientLog]) -> list[list[Findings]]:
    """The findings of every week of every client, over several processes if it is worth it."""
    processes = min(os.cpu_count() or 1, len(logs))
    if processes > 1 and sum(len(one.weeks) for one in logs) >= WORTH_PROCESSES:
        # The model's matrices are small: threads inside of them only get in each other's way.
        os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
        try:
            with ProcessPoolExecutor(processes, get_context("spawn")) as pool:
                return list(pool.map(findings_of_weeks, logs))
        except (OSError, BrokenProcessPool):  # a machine that allows no second process
            pass
    return [findings_of_weeks(one) for one in logs]


def findings_of_weeks(client: ClientLog) -> list[Findings]:
    """The findings of each week of one client."""
    past = _Past(client)
    return [past.findings(week) for week in client.weeks]


@dataclass
class _Followed:
    """A belief that goes on from week to week, by sessions from a first day on."""

    since: date
    ability: Ability = field(default_factory=Ability)
    taken: int = 0

    def up_to(self, day: date, sessions: Sequence[LoggedSession]) -> Believed | None:
        """What is believed after the last session up to a day."""
        while self.taken < len(sessions) and sessions[self.taken].on <= day:
            if sessions[self.taken].on >= self.since:
                self.ability.take(sessions[self.taken])
            self.taken += 1
        return self.ability.believed


class _Past:
    """One client's weeks, the oldest first, each read by what was known at its end."""

    def __init__(self, client: ClientLog) -> None:
        self.client = client
        self.known: tuple[float | None, bool] | None = None
        self.sessions: tuple[LoggedSession, ...] = ()
        self.followed: _Followed | None = None
        self.reader = ExposureReader()

    def findings(self, week: KnownWeek) -> Findings:
        """What the log said at the end of a week."""
        self._read_as_known(week)
        if self.followed is None or self.followed.since != week.followed_from:
            self.followed = _Followed(week.followed_from)
        return self._signals(week, self.followed.up_to(week.last_day, self.sessions))

    def _read_as_known(self, week: KnownWeek) -> None:
        """The sessions with the body weight and the shares of the body as far as they were known."""
        window = (week.followed_from, week.last_day)
        of_week = [s for s in self.client.sessions if window[0] <= s.on <= window[1]]
        # Without a part of the body in what is moved its weight changes nothing.
        lacks_weight = any(
            isnan(s.body_weight) and any(one.exercise.body_share for one in s.sets) for s in of_week
        )
        is_modelled = week.body is not None and not week.body.not_modelled()
        known = (week.weight if lacks_weight else None, is_modelled)
        if known != self.known:
            self.known, self.followed = known, None
            self.reader = ExposureReader()
            self.sessions = as_known(self.client.sessions, week)

    def _signals(self, week: KnownWeek, believed: Believed | None) -> Findings:
        window = (week.read_from, week.last_day)
        return read_signals(
            [s for s in self.sessions if window[0] <= s.on <= window[1]],
            week.attendance,
            today=week.as_of,
            believed=believed,
            false_alarms_a_year=self.client.false_alarms_a_year,
            reader=self.reader,
        )


def as_known(sessions: Sequence[LoggedSession], week: KnownWeek) -> tuple[LoggedSession, ...]:
    """Sessions with the body weight [kg] and the shares of the body as they were known in a week."""
    weight = week.weight or BODY_WEIGHT_UNKNOWN.value
    shares: dict[str, Exercise] = {}
    return tuple(_session_as_known(one, weight, week.body, shares) for one in sessions)


def _session_as_known(
    session: LoggedSession, weight: float, body: Body | None, shares: dict[str, Exercise]
) -> LoggedSession:
    sets = []
    for one in session.sets:
        key = one.exercise.key
        if key not in shares:
            shares[key] = fitted(one.exercise, body)
        same = shares[key] is one.exercise
        sets.append(one if same else replace(one, exercise=shares[key]))
    weighed = weight if isnan(session.body_weight) else session.body_weight
    return replace(session, sets=tuple(sets), body_weight=weighed)
