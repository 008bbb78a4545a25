"""What is found of the loads of a week: jumps, and what the client's equipment does not make."""

from dataclasses import dataclass
from datetime import date

from coaching.blocks.effects import PlacedFinding
from coaching.blocks.plan_figures import WeekFigures
from coaching.blocks.session_findings import Earlier, loads_in
from coaching.rules.plan import WeekKind


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
    return tuple(
        PlacedFinding(finding, (one.session.name,), (one.session.key,))
        for one in week.sessions
        if one.session.on >= since and one.session.key not in begun
        for finding in loads_in(one, earlier, made)
    )


def earlier_loads(
    usual: WeekFigures | None, following: WeekFigures | None, known: KnownLoads
) -> Earlier:
    """Against which load each exercise is set, and where that stood.

    The usual week before counts first, then the block before, then the week after.
    """
    block = {key: (load, known.block) for key, load in known.before}
    return {**_of_week(following), **block, **_of_week(usual)}


def _of_week(week: WeekFigures | None) -> Earlier:
    if week is None:
        return {}
    where = f"week {week.week.number}"
    return {key: (load, where) for key, load in week.hardest.items()}


def loads_before(week: WeekFigures | None) -> frozenset[tuple[str, float]]:
    """The hardest load of each exercise of a week, to set those of another block against."""
    return frozenset(week.hardest.items() if week else ())
