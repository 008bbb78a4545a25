"""What is found of the loads of a week: jumps, and what the client's equipment does not make."""

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from coaching.blocks.effects import PlacedFinding
from coaching.blocks.plan_figures import WeekFigures
from coaching.blocks.session_findings import Earlier, loads_in
from coaching.rules.plan import WeekKind


class LoggedLoad(NamedTuple):
    """The hardest load [kg] of an exercise that was logged of late, and when last.

    ``is_help``: it is help of a band, of which less is harder.
    """

    key: str
    load: float
    on: date
    is_help: bool = False

    @property
    def where(self) -> str:
        """Where it stands, as a finding says it."""
        return f"the log ({self.on.day} {self.on:%b})"

    def is_harder(self, load: float) -> bool:
        """Whether it is harder than another load [kg] of the exercise."""
        return self.load < load if self.is_help else self.load > load


@dataclass(frozen=True, slots=True)
class KnownLoads:
    """What is known of a client's loads [kg], by exercise key.

    ``before`` are the hardest of the last usual week of the block ``block``, ``made`` what the
    equipment makes, ``logged`` the hardest that were done of late.
    """

    before: frozenset[tuple[str, float]] = frozenset()
    block: str = ""
    made: frozenset[tuple[str, tuple[float, ...]]] = frozenset()
    logged: frozenset[LoggedLoad] = frozenset()


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

    The usual week before counts, or what was logged of late where that is harder. Without a usual
    week before it is the log, then the block before, then the week after.
    """
    block = {key: (load, known.block) for key, load in known.before}
    found = {**_of_week(following), **block, **_of_week(usual)}
    planned = usual.hardest if usual else {}
    for one in known.logged:
        if one.key not in planned or one.is_harder(planned[one.key]):
            found[one.key] = (one.load, one.where)
    return found


def _of_week(week: WeekFigures | None) -> Earlier:
    if week is None:
        return {}
    where = f"week {week.week.number}"
    return {key: (load, where) for key, load in week.hardest.items()}


def loads_before(week: WeekFigures | None) -> frozenset[tuple[str, float]]:
    """The hardest load of each exercise of a week, to set those of another block against."""
    return frozenset(week.hardest.items() if week else ())
