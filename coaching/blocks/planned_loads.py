"""What is found of the loads of a week: jumps, and what the client's equipment does not make."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from coaching.blocks.effects import PlacedFinding
from coaching.blocks.plan_figures import KEPT_WEEKS, WeekFigures
from coaching.rules.findings import Finding
from coaching.rules.plan import PlannedSession, Prescription, WeekKind
from coaching.rules.planned_load import hardest_loads, jump_finding, unmade_finding


@dataclass(frozen=True, slots=True)
class KnownLoads:
    """What is known of a client's loads [kg], by exercise key.

    ``before`` are the hardest of the last usual week of the block ``block``, ``made`` what the
    equipment makes.
    """

    before: frozenset[tuple[str, float]] = frozenset()
    block: str = ""
    made: frozenset[tuple[str, tuple[float, ...]]] = frozenset()


NOTHING_KNOWN = KnownLoads()
Earlier = dict[str, tuple[float, str]]
"""A load and where it stood, by exercise key."""


@lru_cache(maxsize=KEPT_WEEKS)
def load_findings(
    week: WeekFigures,
    usual: WeekFigures | None,
    following: WeekFigures | None,
    open_from: tuple[date, frozenset[str]],
    known: KnownLoads,
) -> tuple[PlacedFinding, ...]:
    """The loads to look at in the sessions of a week that are to come.

    A test week is there to find the most that can be lifted: no load of it is a jump.

    Args:
        week: The week.
        usual: The usual week before it.
        following: The week after it, for what no week before has.
        open_from: The day before which nothing changes any more, and the sessions begun.
        known: What else is known of the client's loads.
    """
    earlier = {} if week.week.kind is WeekKind.TEST else earlier_loads(usual, following, known)
    made = dict(known.made)
    since, begun = open_from
    found = [
        PlacedFinding(finding, (session.name,), (session.key,))
        for session in (one.session for one in week.sessions)
        if session.on >= since and session.key not in begun
        for finding in _in_session(session, earlier, made)
    ]
    return tuple(found)


def _in_session(
    session: PlannedSession, earlier: Earlier, made: dict[str, tuple[float, ...]]
) -> Iterator[Finding]:
    for one in session.prescriptions:
        finding = _jump(one, earlier) or unmade_finding(one, made.get(one.exercise.key, ()))
        if finding is not None:
            yield finding


def _jump(one: Prescription, earlier: Earlier) -> Finding | None:
    before = earlier.get(one.exercise.key)
    return jump_finding(one, *before) if before else None


def earlier_loads(
    usual: WeekFigures | None, following: WeekFigures | None, known: KnownLoads
) -> Earlier:
    """Against which load each exercise is set, and where that stood.

    The usual week before counts first, then the block before, then the week after.
    """
    block = {key: (load, known.block) for key, load in known.before}
    return _of_week(following) | block | _of_week(usual)


def _of_week(week: WeekFigures | None) -> Earlier:
    if week is None:
        return {}
    loads = hardest_loads(one.session for one in week.sessions)
    return {key: (load, f"week {week.week.number}") for key, load in loads.items()}


def loads_before(week: WeekFigures | None) -> frozenset[tuple[str, float]]:
    """The hardest load of each exercise of a week, to set those of another block against."""
    loads = hardest_loads(one.session for one in week.sessions) if week else {}
    return frozenset(loads.items())
