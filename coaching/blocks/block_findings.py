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
from coaching.rules.muscle_spacing import SessionLoad, close_finding, close_of_week
from coaching.rules.plan import Level, WeekKind
from coaching.rules.session_clock import length_finding
from coaching.rules.volume_course import course_findings

_COUNTS = re.compile(r"\d[\d.]*|\bnone\b")
_LISTS_MUSCLES = frozenset({FindingKind.SPACING, FindingKind.VOLUME_COURSE})
"""Which muscles such a finding names changes with their sets: it is known by its rule alone."""


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


def block_findings(
    weeks: Sequence[WeekFigures], facts: ClientFacts, *, chosen: int = 0
) -> tuple[tuple[PlacedFinding, ...], ...]:
    """What is found in each week, in the order of the weeks; most pressing first in each.

    Remedies are looked for in the week with the number ``chosen`` only, the one that is shown.

    What is found in several sessions of a week is told once. A light week keeps the order of
    the usual one with sets left out, so neither its order nor its balance is looked at.
    """
    return tuple(
        week_findings(weeks, one, facts, facts.room if one.week.number == chosen else None)
        for one in weeks
    )


def week_findings(
    weeks: Sequence[WeekFigures], week: WeekFigures, facts: ClientFacts, room: Room | None = None
) -> tuple[PlacedFinding, ...]:
    """What is found in one of a block's weeks; with ``room`` remedies are looked for."""
    place = week.week.number - 1
    usual = [one for one in weeks[:place] if _is_build(one)]
    return _found(
        week,
        weeks[place - 1] if place else None,
        weeks[place + 1] if place + 1 < len(weeks) else None,
        usual[-1] if usual else None,
        facts,
        room,
    )


@lru_cache(maxsize=KEPT_WEEKS)
def _found(
    week: WeekFigures,
    before: WeekFigures | None,
    following: WeekFigures | None,
    usual: WeekFigures | None,
    facts: ClientFacts,
    room: Room | None,
) -> tuple[PlacedFinding, ...]:
    """The same from those weeks alone that it depends on; ``usual`` is the last usual week."""
    around = [load for one in (before, week, following) if one for load in one.loads]
    course = [one.course for one in (usual, week) if one]
    return (
        *_in_sessions(week, facts, room),
        *_spacing(week, following, around, room),
        *(PlacedFinding(one) for one in (week.leans if _is_build(week) else ())),
        *_order(week, room),
        *(PlacedFinding(one) for one in course_findings(course, week.week.number)),
    )


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


def _in_sessions(
    week: WeekFigures, facts: ClientFacts, room: Room | None
) -> Iterator[PlacedFinding]:
    """Joints and minutes."""
    limits = facts.joints.on(max(facts.today, week.week.starts_on))
    if limits:
        told = [
            (one, joint_limits.findings_for(one.session, limits, facts.joints.overrides))
            for one in week.sessions
        ]
        yield from _together(told, room)
    long = [(one, length_finding(one.session, one.minutes, facts.minutes)) for one in week.sessions]
    yield from _together([(one, (found,)) for one, found in long if found], room)


def _order(week: WeekFigures, room: Room | None) -> Iterator[PlacedFinding]:
    if week.week.kind is not WeekKind.DELOAD:
        yield from _together([(one, one.order) for one in week.sessions], room)


def _together(
    told: Sequence[tuple[SessionFigures, Sequence[Finding]]], room: Room | None
) -> Iterator[PlacedFinding]:
    """Each sentence once, with the sessions it is true of and a remedy for each."""
    found: dict[str, tuple[Finding, dict[str, None], dict[str, Remedy]]] = {}
    for figures, findings in told:
        for one in findings:
            _, places, ways = found.setdefault(one.sentence, (one, {}, {}))
            places[figures.session.name] = None
            remedy = remedies.for_session(one, figures, room) if room else None
            if remedy:
                ways[remedy.words] = remedy
    for finding, places, ways in found.values():
        yield PlacedFinding(finding, tuple(places), tuple(ways.values()))


def _spacing(
    week: WeekFigures,
    following: WeekFigures | None,
    around: Sequence[SessionLoad],
    room: Room | None,
) -> Iterator[PlacedFinding]:
    for close in close_of_week(week.loads, following.loads if following else ()):
        starts_on = week.week.starts_on
        remedy = remedies.for_spacing(close, starts_on, around, room) if room else None
        names = (close.before.session.name, close.after.session.name)
        yield PlacedFinding(close_finding(close), names, (remedy,) if remedy else ())


def _is_build(week: WeekFigures) -> bool:
    return week.week.kind is WeekKind.BUILD
