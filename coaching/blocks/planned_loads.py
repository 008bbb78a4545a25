"""What is found of the loads of a week: jumps, and what the client's equipment does not make."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from coaching.blocks.effects import PlacedFinding
from coaching.blocks.plan_figures import KEPT_WEEKS, SessionFigures, WeekFigures
from coaching.rules.findings import Finding
from coaching.rules.plan import WeekKind
from coaching.rules.planned_load import jump_finding, unmade_finding


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
    *,
    only: Collection[str] | None = None,
) -> tuple[PlacedFinding, ...]:
    """The loads to look at in the sessions of a week that are to come.

    A test week is there to find the most that can be lifted: no load of it is a jump.

    Args:
        week: The week.
        usual: The usual week before it.
        following: The week after it, for what no week before has.
        open_from: The day before which nothing changes any more, and the sessions begun.
        known: What else is known of the client's loads.
        only: The keys of the sessions to look at, where it is not all of them.
    """
    since, begun = open_from
    earlier = Earlier(usual, following, known)
    before = _nothing if week.week.kind is WeekKind.TEST else earlier.load
    return tuple(
        PlacedFinding(finding, (one.session.name,), (one.session.key,))
        for one in week.sessions
        if one.session.on >= since and one.session.key not in begun
        if only is None or one.session.key in only
        for finding in _in_session(one, before, known)
    )


def _in_session(
    one: SessionFigures, before: Callable[[str], tuple[float, str] | None], known: KnownLoads
) -> tuple[Finding, ...]:
    """The same of one session, looked for once for what it is set against."""
    lines = one.session.prescriptions
    against = [before(line.exercise.key) for line in lines]

    def looked_for() -> tuple[Finding, ...]:
        made = _by_key(known).made
        told = (
            (jump_finding(line, *was) if was else None)
            or unmade_finding(line, made.get(line.exercise.key, ()))
            for line, was in zip(lines, against, strict=True)
        )
        return tuple(one for one in told if one)

    return one.found.of(("loads", known.made, *against), looked_for)


class _ByKey(NamedTuple):
    before: dict[str, float]
    made: dict[str, tuple[float, ...]]
    logged: dict[str, LoggedLoad]


@lru_cache(maxsize=KEPT_WEEKS)
def _by_key(known: KnownLoads) -> _ByKey:
    """What is known, to look up; it stays the same from edit to edit."""
    return _ByKey(dict(known.before), dict(known.made), {one.key: one for one in known.logged})


class Earlier:
    """Against which load each exercise of a week is set, and where that stood.

    The usual week before counts, or what was logged of late where that is harder. Without a usual
    week before it is the log, then the block before, then the week after.
    """

    def __init__(
        self, usual: WeekFigures | None, following: WeekFigures | None, known: KnownLoads
    ) -> None:
        self._usual, self._following = usual, following
        self._block, self._known = known.block, _by_key(known)

    def load(self, key: str) -> tuple[float, str] | None:
        """The load [kg] of one exercise with its place; none where nothing is known."""
        usual, following, known = self._usual, self._following, self._known
        planned, logged = usual.hardest.get(key) if usual else None, known.logged.get(key)
        if logged and (planned is None or logged.is_harder(planned)):
            return logged.load, logged.where
        if usual and planned is not None:
            return planned, f"week {usual.week.number}"
        if key in known.before:
            return known.before[key], self._block
        if following and key in following.hardest:
            return following.hardest[key], f"week {following.week.number}"
        return None


def _nothing(_key: str) -> None:
    """What a test week is set against."""


def loads_before(week: WeekFigures | None) -> frozenset[tuple[str, float]]:
    """The hardest load of each exercise of a week, to set those of another block against."""
    return frozenset(week.hardest.items() if week else ())
