"""What is found in each week of a block: joints, minutes, time between, balance, order, course."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from coaching.blocks import remedies
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.plan_figures import KEPT_WEEKS, SessionFigures, WeekFigures
from coaching.blocks.remedies import Room
from coaching.rules import joint_limits
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.joint_limits import Joints
from coaching.rules.load_to_choose import load_finding
from coaching.rules.muscle_spacing import Close, SessionLoad, close_finding, close_of_week
from coaching.rules.plan import Level, WeekKind
from coaching.rules.session_clock import length_finding
from coaching.rules.volume_course import course_findings

_COUNTS = re.compile(r"\d[\d.]*|\bnone\b")
_LISTS_MUSCLES = frozenset(
    {FindingKind.SPACING, FindingKind.VOLUME_COURSE, FindingKind.LOAD_TO_CHOOSE}
)
"""Which muscles or exercises such a finding names changes: it is known by its rule alone."""


@dataclass(frozen=True, slots=True)
class ClientFacts:
    """What of a client a plan is judged by; ``minutes`` [min] is the time for a session.

    Nothing before ``today`` changes any more, nor do the sessions whose uids are in ``begun``.
    ``locked`` holds the uids of sessions and exercises that stay until they are unlocked.
    """

    level: Level
    minutes: int
    joints: Joints
    today: date
    begun: frozenset[str] = frozenset()
    locked: frozenset[str] = frozenset()

    @property
    def room(self) -> Room:
        """What a remedy may use."""
        return Room(self.minutes, self.today, self.begun | self.locked)


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """A finding with what a remedy is looked for in: the sessions, or two that stand too close."""

    finding: Finding
    names: tuple[str, ...] = ()
    figures: tuple[SessionFigures, ...] = ()
    close: Close | None = None


@dataclass(frozen=True, slots=True)
class _Around:
    """A week and those beside it on which its findings depend; ``usual`` is the last usual one."""

    week: WeekFigures
    before: WeekFigures | None
    following: WeekFigures | None
    usual: WeekFigures | None

    @property
    def loads(self) -> list[SessionLoad]:
        """The sessions of this week and of those beside it."""
        three = (self.before, self.week, self.following)
        return [load for one in three if one for load in one.loads]


def block_findings(
    weeks: Sequence[WeekFigures], facts: ClientFacts, *, chosen: int = 0
) -> tuple[tuple[PlacedFinding, ...], ...]:
    """What is found in each week, in the order of the weeks; most pressing first in each.

    Remedies are looked for in the week with the number ``chosen`` only, the one that is shown.

    What is found in several sessions of a week is told once. A light week keeps the order of
    the usual one with sets left out, so neither its order nor its balance is looked at.
    """
    return tuple(
        _remedied(_around(weeks, one), facts)
        if one.week.number == chosen
        else week_findings(weeks, one, facts)
        for one in weeks
    )


def week_findings(
    weeks: Sequence[WeekFigures], week: WeekFigures, facts: ClientFacts
) -> tuple[PlacedFinding, ...]:
    """What is found in one of a block's weeks, without remedies."""
    found = _found(_around(weeks, week), facts)
    return tuple(PlacedFinding(one.finding, one.names) for one in found)


def _around(weeks: Sequence[WeekFigures], week: WeekFigures) -> _Around:
    place = week.week.number - 1
    usual = [one for one in weeks[:place] if _is_build(one)]
    return _Around(
        week,
        weeks[place - 1] if place else None,
        weeks[place + 1] if place + 1 < len(weeks) else None,
        usual[-1] if usual else None,
    )


def _found(around: _Around, facts: ClientFacts) -> tuple[_Found, ...]:
    """All that is found in a week; each part is kept by what it alone depends on."""
    week = around.week
    course = [one.course for one in (around.usual, week) if one]
    return (
        *_in_sessions(week, facts),
        *_spacing(week, around.following),
        *(_Found(one) for one in (week.leans if _is_build(week) else ())),
        *_order(week),
        *(_Found(one) for one in course_findings(course, week.week.number)),
    )


@lru_cache(maxsize=KEPT_WEEKS)
def _remedied(around: _Around, facts: ClientFacts) -> tuple[PlacedFinding, ...]:
    return tuple(
        PlacedFinding(one.finding, one.names, tuple(_remedies(one, around, facts.room)))
        for one in _found(around, facts)
    )


def _remedies(found: _Found, around: _Around, room: Room) -> Iterator[Remedy]:
    """What settles a finding in one act, each act once."""
    if found.close is not None:
        starts_on = around.week.week.starts_on
        moved = remedies.for_spacing(found.close, starts_on, around.loads, room)
        yield from (moved,) if moved else ()
    ways = [remedies.for_session(found.finding, one, room) for one in found.figures]
    yield from {one.words: one for one in ways if one}.values()


def with_new_marked(
    now: Sequence[PlacedFinding], before: Sequence[PlacedFinding]
) -> tuple[tuple[PlacedFinding, ...], tuple[str, ...]]:
    """The findings of a week with new ones marked, and the sentences of those that are settled.

    A finding is the same one by its rule and place, whatever its numbers are by now.
    """
    here = frozenset().union(*(_places(one) for one in now))
    was = frozenset().union(*(_places(one) for one in before))
    marked = tuple(replace(one, is_new=not _places(one) <= was) for one in now)
    settled = (one.finding.sentence for one in before if here.isdisjoint(_places(one)))
    return marked, tuple(dict.fromkeys(settled))


def _places(one: PlacedFinding) -> frozenset[tuple[str, ...]]:
    """One for each session that it is true of; two that stand too close are one place."""
    finding = one.finding
    words = "" if finding.kind in _LISTS_MUSCLES else _COUNTS.sub("", finding.sentence)
    apart = finding.kind is not FindingKind.SPACING
    places = (one.sessions or ("",)) if apart else (" ".join(one.sessions),)
    return frozenset((finding.rule, finding.exercise, words, place) for place in places)


@lru_cache(maxsize=KEPT_WEEKS)
def _in_sessions(week: WeekFigures, facts: ClientFacts) -> tuple[_Found, ...]:
    """Joints, loads to choose, and minutes."""
    limits = facts.joints.on(max(facts.today, week.week.starts_on))
    told = [
        (one, joint_limits.findings_for(one.session, limits, facts.joints.overrides))
        for one in (week.sessions if limits else ())
    ]
    coming = [
        one
        for one in week.sessions
        if one.session.on >= facts.today and one.session.key not in facts.begun
    ]
    loads = [(one, load_finding(one.session)) for one in coming]
    long = [(one, length_finding(one.session, one.minutes, facts.minutes)) for one in week.sessions]
    alone = [(one, (found,)) for one, found in (*loads, *long) if found]
    return (*_together(told), *_together(alone))


@lru_cache(maxsize=KEPT_WEEKS)
def _order(week: WeekFigures) -> tuple[_Found, ...]:
    if week.week.kind is WeekKind.DELOAD:
        return ()
    return tuple(_together([(one, one.order) for one in week.sessions]))


def _together(told: Sequence[tuple[SessionFigures, Sequence[Finding]]]) -> Iterator[_Found]:
    """Each sentence once, with the sessions it is true of."""
    found: dict[str, tuple[Finding, list[SessionFigures]]] = {}
    for figures, findings in told:
        for one in findings:
            found.setdefault(one.sentence, (one, []))[1].append(figures)
    for finding, figured in found.values():
        names = dict.fromkeys(one.session.name for one in figured)
        yield _Found(finding, tuple(names), tuple(figured))


@lru_cache(maxsize=KEPT_WEEKS)
def _spacing(week: WeekFigures, following: WeekFigures | None) -> tuple[_Found, ...]:
    return tuple(
        _Found(
            close_finding(close), (close.before.session.name, close.after.session.name), close=close
        )
        for close in close_of_week(week.loads, following.loads if following else ())
    )


def _is_build(week: WeekFigures) -> bool:
    return week.week.kind is WeekKind.BUILD
