"""What each session and week of a plan comes to, computed once for each content.

A plan is edited one act at a time, and an act touches few sessions. So the figures of a session
are kept by its content (its data and the exercises it names), those of a week by its sessions:
what did not change costs a comparison. Everything here follows from the plan alone; what depends
on the client (range, minutes, joints) is judged elsewhere.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import count
from operator import itemgetter

from coaching.blocks.kept import Kept
from coaching.blocks.snapshots import SessionData, Snapshot, WeekData, week_as_value
from coaching.rules import session_faults, session_order
from coaching.rules.balance import Balance, add_balances, balance_of_sets
from coaching.rules.balance_findings import ActionSets, balance_findings, session_action_sets
from coaching.rules.findings import Finding
from coaching.rules.muscle_spacing import SessionLoad, session_load
from coaching.rules.plan import Exercise, Muscle, PlannedSession, PlannedWeek
from coaching.rules.planned_load import hardest_loads
from coaching.rules.session_clock import SessionMinutes, session_minutes
from coaching.rules.volume import (
    MuscleVolume,
    SessionTotals,
    WorkingSet,
    add_volumes,
    planned_working_sets,
    totals_of_sets,
    volume_of_sets,
)
from coaching.rules.volume_course import WeekVolume, session_work

_ANY_WEIGHT_KG = 1.0
"""Sets, repetitions and minutes do not depend on body weight; no kilograms are told here."""
KEPT_SESSIONS = 800
KEPT_WEEKS = 200
KEPT_TRIED = 1600
"""Sessions and weeks after acts that are only tried: these come and go with every edit."""
KEPT_OF_ONE = 12
"""What is found in one session: of each kind, and of some as it was before a client's facts changed."""


@dataclass(frozen=True, eq=False)
class SessionFigures:
    """One session with all that follows from it alone; known by who it is, as it is kept."""

    session: PlannedSession

    @cached_property
    def sets(self) -> tuple[WorkingSet, ...]:
        """The sets that count."""
        return tuple(planned_working_sets(self.session))

    @cached_property
    def volume(self) -> dict[Muscle, MuscleVolume]:
        """Sets and repetitions of each muscle."""
        return volume_of_sets(self.sets, _ANY_WEIGHT_KG)

    @cached_property
    def balance(self) -> Balance:
        """Pushing against pulling."""
        return balance_of_sets(self.sets)

    @cached_property
    def actions(self) -> ActionSets:
        """Sets of each joint action."""
        return session_action_sets(self.session)

    @cached_property
    def load(self) -> SessionLoad:
        """The muscles that it loads."""
        return session_load(self.session)

    @cached_property
    def minutes(self) -> SessionMinutes:
        """How long it takes."""
        return session_minutes(self.session)

    @cached_property
    def totals(self) -> SessionTotals:
        """Working sets and repetitions."""
        return totals_of_sets(self.sets, _ANY_WEIGHT_KG)

    @cached_property
    def work(self) -> float:
        """Work in repetitions, holds counted by their seconds."""
        return session_work(self.session)

    @cached_property
    def order(self) -> tuple[Finding, ...]:
        """Where it is built unlike the trade builds it."""
        return session_order.findings_for(self.session)

    @cached_property
    def faults(self) -> tuple[Finding, ...]:
        """The same with all of its order as one, and all of its pairing."""
        return tuple(session_faults.told_once(self.order, self.session.pairs))

    @cached_property
    def found(self) -> Kept[tuple[Finding, ...]]:
        """What else was found in it, by what that depends on besides."""
        return Kept(KEPT_OF_ONE)


@dataclass(frozen=True, eq=False)
class WeekFigures:
    """One week with all that follows from it alone; known by who it is, as it is kept."""

    week: PlannedWeek
    sessions: tuple[SessionFigures, ...]

    @cached_property
    def volume(self) -> dict[Muscle, MuscleVolume]:
        """Sets and repetitions of each muscle."""
        return add_volumes(one.volume for one in self.sessions)

    @cached_property
    def balance(self) -> Balance:
        """Pushing against pulling."""
        return add_balances(one.balance for one in self.sessions)

    @cached_property
    def leans(self) -> tuple[Finding, ...]:
        """Where the week leans too far."""
        sets = sum((one.actions for one in self.sessions), ActionSets())
        return balance_findings(self.balance, sets)

    @cached_property
    def loads(self) -> tuple[SessionLoad, ...]:
        """The muscles that each session loads."""
        return tuple(one.load for one in self.sessions)

    @cached_property
    def course(self) -> WeekVolume:
        """The week as one point of the block's course."""
        sets = {muscle: one.fractional_sets for muscle, one in self.volume.items()}
        work = sum(one.work for one in self.sessions)
        return WeekVolume(self.week.number, self.week.kind, sets, work)

    @cached_property
    def hardest(self) -> dict[str, float]:
        """The hardest load of each exercise [kg], by key."""
        return hardest_loads(one.session for one in self.sessions)

    @cached_property
    def working_sets(self) -> int:
        """Working sets of the week."""
        return sum(one.totals.working_sets for one in self.sessions)

    @cached_property
    def reps(self) -> int:
        """Repetitions of the week in working sets."""
        return sum(one.totals.reps for one in self.sessions)


def week_figures(week: PlannedWeek) -> WeekFigures:
    """The figures of a week value, computed when they are asked for."""
    return WeekFigures(week, tuple(SessionFigures(one) for one in week.sessions))


def plan_figures(snapshot: Snapshot, exercises: Mapping[int, Exercise]) -> tuple[WeekFigures, ...]:
    """The figures of each week of a plan; ``exercises`` is by row id."""
    (found,) = figures_of_plans((snapshot,), exercises)
    return found


def figures_of_plans(
    plans: Sequence[Snapshot], exercises: Mapping[int, Exercise]
) -> tuple[tuple[WeekFigures, ...], ...]:
    """The same of plans that have most of their sessions in common: each is looked at once."""
    known = Contents(exercises)
    return tuple(
        tuple(_week(data, number, known) for number, data in enumerate(plan["weeks"], start=1))
        for plan in plans
    )


_sessions: Kept[SessionFigures] = Kept(KEPT_SESSIONS)
_weeks: Kept[WeekFigures] = Kept(KEPT_WEEKS)
_serials: Kept[int] = Kept(KEPT_SESSIONS)
_seen: Kept[tuple[SessionData, int]] = Kept(KEPT_SESSIONS)
"""The sessions last looked at, by who they are: while one is kept here, no other has its id."""
_next_serial = count(1)


def _serial_of(content: Hashable) -> int:
    """A number for each content: cheaper to compare than the content."""
    return _serials.of(content, lambda: next(_next_serial))


class Contents:
    """The exercises of a plan by row id, and a number for the content of its sessions."""

    def __init__(self, exercises: Mapping[int, Exercise]) -> None:
        self.exercises = exercises
        self._serials = {row: _serial_of(value) for row, value in exercises.items()}
        self._all = _serial_of(frozenset(self._serials.items()))

    def serial(self, data: SessionData) -> int:
        """The number of all that a session's figures follow from.

        Nobody changes a plan in place, so a session that was looked at is not read again.
        """
        made = _seen.of((id(data), self._all), lambda: (data, _serial_of(self.of(data))))
        return made[1]

    def of(self, data: SessionData) -> Hashable:
        """All that the figures of a session follow from."""
        pairs = tuple(
            (
                pair["letter"],
                pair["part"],
                tuple(
                    (*_VALUES(line), self._serials[line["exercise"]], *line["targets"])
                    for line in pair["lines"]
                ),
            )
            for pair in data["pairs"]
        )
        return data["uid"], data["name"], data["on"], pairs


_VALUES = itemgetter("uid", "load_kg", "tempo", "rest_s", "rir")


def _week(data: WeekData, number: int, known: Contents) -> WeekFigures:
    keys = tuple(known.serial(one) for one in data["sessions"])

    def make() -> WeekFigures:
        bare: WeekData = {**data, "sessions": []}
        sessions = tuple(
            _sessions.of(key, lambda one=one: _session(one, data, known.exercises))  # type: ignore[misc]
            for key, one in zip(keys, data["sessions"], strict=True)
        )
        empty = week_as_value(bare, number, known.exercises)
        values = tuple(one.session for one in sessions)
        week = PlannedWeek(empty.number, empty.kind, empty.starts_on, values)
        return WeekFigures(week, sessions)

    return _weeks.of((number, data["starts_on"], data["kind"], keys), make)


def _session(
    data: SessionData, week: WeekData, exercises: Mapping[int, Exercise]
) -> SessionFigures:
    (value,) = week_as_value({**week, "sessions": [data]}, 1, exercises).sessions
    return SessionFigures(value)
