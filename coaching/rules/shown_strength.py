"""What was asked and done on each day in the unit of ability: the load that could be moved once."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp
from statistics import median

from coaching.rules.ability_sets import Shown, Work, read_works
from coaching.rules.capacity import Curve
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.numbers import LIGHTER_WORK, USUAL_DAYS, USUAL_FEWEST
from coaching.rules.plan import Exercise, WeekKind
from coaching.rules.volume import system_load


@dataclass(frozen=True, slots=True)
class ShownSet:
    """The strength one set shows [kg]; ``at_least`` when it stopped at its target."""

    kg: float
    at_least: bool


@dataclass(frozen=True)
class DaySets:
    """One exercise in one session: what its sets show and what their targets asked [kg]."""

    on: date
    kind: WeekKind
    exercise: Exercise
    shown: tuple[ShownSet, ...]
    asked: tuple[float, ...]
    sets: tuple[LoggedSet, ...]

    @property
    def best(self) -> ShownSet:
        """The set that shows most; one that shows only a least stands behind all others."""
        return max(self.shown, key=lambda one: (not one.at_least, one.kg))


def shown_strength(sessions: Iterable[LoggedSession]) -> dict[str, tuple[DaySets, ...]]:
    """Each exercise's days by key, oldest first; warm-ups and prehab are left out.

    A set is told as it was logged: a stated reserve counts as said, and what a set took out
    of the next ones is not added again.
    """
    days: dict[str, list[DaySets]] = {}
    for session in sessions:
        for key, work in read_works(session).items():
            days.setdefault(key, []).append(_day(session, key, work))
    return {key: tuple(found) for key, found in days.items()}


def lighter_days(days: Sequence[DaySets]) -> tuple[date, ...]:
    """The days outside a deload week whose targets asked less than usual, oldest first.

    Usual is the median of what the days before asked at most.
    """
    planned = [one for one in days if one.asked and one.kind is not WeekKind.DELOAD]
    found = []
    for place, one in enumerate(planned):
        since = one.on - timedelta(days=USUAL_DAYS.value)
        before = [max(other.asked) for other in planned[:place] if other.on >= since]
        enough = len(before) >= USUAL_FEWEST.value
        if enough and max(one.asked) < LIGHTER_WORK.value * median(before):
            found.append(one.on)
    return tuple(found)


def _day(session: LoggedSession, key: str, work: Work) -> DaySets:
    sets = tuple(one for one in session.sets if one.exercise.key == key and not one.warm_up)
    return DaySets(
        on=session.on,
        kind=session.kind,
        exercise=work.exercise,
        shown=tuple(_shown(one, work.curve) for one in work.sets),
        asked=_asked(sets, session.body_weight, work.curve),
        sets=sets,
    )


def _shown(one: Shown, curve: Curve) -> ShownSet:
    amount = one.amount if one.could is None else one.could
    return ShownSet(exp(one.system + curve.strength(amount)), at_least=one.could is None)


def _asked(sets: Sequence[LoggedSet], body_weight: float, curve: Curve) -> tuple[float, ...]:
    """What a set to exactly the target would show, for each way in which the day asked."""
    asked = set()
    for one in sets:
        if one.target:
            load = one.load if one.target_load is None else one.target_load
            system = system_load(one.exercise, load, body_weight)
            asked.add(round(system * exp(curve.strength(one.target)), 1))
    return tuple(sorted(asked))
