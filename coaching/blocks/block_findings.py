"""What is found in each week of a block: joints, minutes, time between, balance, order, course.

How to settle it in one act is looked for elsewhere, in the week that is shown only.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache
from typing import NamedTuple

from coaching.blocks import charts
from coaching.blocks.effects import Mark, PlacedFinding
from coaching.blocks.plan_figures import KEPT_WEEKS, SessionFigures, WeekFigures
from coaching.blocks.planned_loads import NOTHING_KNOWN, KnownLoads, load_findings
from coaching.blocks.session_findings import joints_in, length_in, open_loads_in, repetitions_in
from coaching.rules.equipment_missing import missing_findings
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.joint_limits import JointLimit, Joints
from coaching.rules.muscle_spacing import close_finding, close_of_week
from coaching.rules.plan import EquipmentKind, Level, Muscle, PlannedSession, Prescription, WeekKind
from coaching.rules.session_faults import IN_ORDER, same_fault
from coaching.rules.session_order import PAIR_RULE
from coaching.rules.volume_course import course_findings, row_findings
from coaching.rules.volume_range import VolumeLine, judge_volume, volume_finding

WEEK = timedelta(weeks=1)
_PUT_RIGHT = frozenset({*IN_ORDER, PAIR_RULE})
_LEAST_CHANGE = 1e-6
"""Sums of the same numbers in another order differ by less."""


class Place(NamedTuple):
    """What a finding is known by: its rule, what of it, and the key of one session.

    A muscle is known by itself and the end of its range, whatever the rule says of it.
    """

    kind: FindingKind
    rule: str = ""
    exercise: str = ""
    about: str = ""
    session: str = ""
    muscle: Muscle | None = None


@dataclass(frozen=True, slots=True)
class ClientFacts:
    """What of a client a plan is judged by; ``minutes`` [min] is the time for a session.

    Nothing before ``today`` changes any more, nor do the sessions whose uids are in ``begun``.
    ``locked`` holds the uids of sessions and exercises that stay until they are unlocked,
    ``loads`` what is known of the client's loads besides the plan,
    ``equipment`` what there is to train with; where it is none, nobody asked.
    """

    level: Level
    minutes: int
    joints: Joints
    today: date
    begun: frozenset[str] = frozenset()
    locked: frozenset[str] = frozenset()
    loads: KnownLoads = NOTHING_KNOWN
    equipment: frozenset[EquipmentKind] | None = None

    def limits_on(self, *days: date) -> tuple[JointLimit, ...]:
        """The joint limits that count on some of these days; before today nothing changes."""
        held = (one for day in days for one in self.joints.on(max(self.today, day)))
        return tuple(dict.fromkeys(held))

    def is_over(self, week: WeekFigures) -> bool:
        """Whether a week lies before today: nothing of it is to be settled any more."""
        return week.week.starts_on + WEEK <= self.today

    def is_coming(self, session: PlannedSession) -> bool:
        """Whether a session is still to be done."""
        return session.on >= self.today and session.key not in self.begun

    def may_change(self, session: PlannedSession) -> bool:
        """Whether a session is neither past nor begun nor locked."""
        fixed = session.key in self.begun or session.key in self.locked
        return session.on >= self.today and not fixed

    def is_free(self, one: Prescription) -> bool:
        """Whether an exercise is not locked."""
        return one.key not in self.locked


@dataclass(frozen=True, slots=True)
class WeekScene:
    """A week and what of its block it is judged with; ``usual`` is the usual week before it.

    ``missing`` has the muscles that are trained elsewhere and have no set here.
    """

    week: WeekFigures
    before: WeekFigures | None
    following: WeekFigures | None
    usual: WeekFigures | None
    facts: ClientFacts
    missing: tuple[tuple[Muscle, str], ...] = ()
    kinds: tuple[WeekKind, ...] = ()

    @property
    def next_kind(self) -> WeekKind | None:
        """The kind of the week after it, where there is one."""
        return self.following.week.kind if self.following else None


def scene_of(
    weeks: Sequence[WeekFigures],
    week: WeekFigures,
    facts: ClientFacts,
    missing: tuple[tuple[Muscle, str], ...] = (),
) -> WeekScene:
    """One of a block's weeks with those beside it."""
    place = week.week.number - 1
    usual = [one for one in weeks[:place] if _is_build(one)]
    return WeekScene(
        week,
        weeks[place - 1] if place else None,
        weeks[place + 1] if place + 1 < len(weeks) else None,
        usual[-1] if usual else None,
        facts,
        missing,
        tuple(one.week.kind for one in weeks[: place + 1]),
    )


def block_findings(
    weeks: Sequence[WeekFigures], facts: ClientFacts
) -> tuple[tuple[PlacedFinding, ...], ...]:
    """What is found in each week, in the order of the weeks; most pressing first in each.

    What is found in several sessions of a week is told once. A light week keeps the order of
    the usual one with sets left out, so neither its order nor its balance is looked at. Muscles
    outside their range are told apart, by ``volume_findings``.
    """
    return tuple(kept_findings(scene_of(weeks, one, facts)) for one in weeks)


@lru_cache(maxsize=KEPT_WEEKS)
def kept_findings(scene: WeekScene) -> tuple[PlacedFinding, ...]:
    """What is found in one week."""
    return findings_in(scene)


def findings_in(scene: WeekScene) -> tuple[PlacedFinding, ...]:
    """The same for a week that is only tried; each part is kept by what it alone depends on."""
    week = scene.week
    return (
        *_in_sessions(week, scene.facts),
        *loads_in(scene),
        *_order(week),
        *_repetitions(week, scene.facts.level),
        *sets_in(scene),
    )


def loads_in(scene: WeekScene, only: Collection[str] | None = None) -> tuple[PlacedFinding, ...]:
    """What is found of the loads of a week beside those of the week before; or of some sessions."""
    facts = scene.facts
    is_open = facts.today, facts.begun
    beside = scene.week, scene.usual, scene.following
    return load_findings(*beside, is_open, facts.loads, only=only)


def sets_in(scene: WeekScene) -> Iterator[PlacedFinding]:
    """What numbers of sets alone decide: time between, balance, and the course of volume."""
    week = scene.week
    yield from _spacing(week, scene.following)
    yield from (PlacedFinding(one) for one in (week.leans if _is_build(week) else ()))
    course = [one.course for one in (scene.usual, week) if one]
    yield from (PlacedFinding(one) for one in course_findings(course, week.week.number))
    yield from (
        PlacedFinding(one) for one in row_findings(scene.kinds, len(scene.kinds), scene.next_kind)
    )


@lru_cache(maxsize=KEPT_WEEKS)
def judged(
    week: WeekFigures, level: Level, also: frozenset[Muscle] = frozenset()
) -> tuple[VolumeLine, ...]:
    """Each muscle of a week against its range; ``also`` are told even without a set."""
    lines = judge_volume(week.volume, None, level=level, must_grow=also, kind=week.week.kind)
    return tuple(lines)


def volume_findings(scene: WeekScene) -> tuple[PlacedFinding, ...]:
    """The muscles of a week outside their range, the one that is furthest off first."""
    level, volume = scene.facts.level, scene.week.volume
    missing = dict(scene.missing)
    lines = judged(scene.week, level, frozenset(missing))
    found = [
        (one, volume_finding(one, volume.get(one.muscle), level, missing.get(one.muscle, "")))
        for one in lines
        if charts.is_outside(one)
    ]
    found.sort(key=lambda each: -each[1].size / (each[0].low or 1))
    return tuple(PlacedFinding(one) for _, one in found)


def with_marks(
    now: Sequence[PlacedFinding], before: Sequence[PlacedFinding]
) -> tuple[tuple[PlacedFinding, ...], tuple[str, ...]]:
    """The findings of a week marked as new, better or worse, and the sentences of the settled.

    A finding is the same one by its rule and place, whatever its numbers are by now.
    """
    known = {key for one in before for key in one.keys}
    # A week that was replaced as a whole has other sessions of the same names.
    by_name = known.isdisjoint(key for one in now for key in one.keys)
    stood = [(one.finding, sized(one, by_name=by_name)) for one in before]
    stands = [(one, sized(one, by_name=by_name)) for one in now]
    was = {place: size for _, places in stood for place, size in places.items()}
    here = {place for _, places in stands for place in places}
    marked = tuple(_marked(one, _mark(places, was)) for one, places in stands)
    settled = (finding.sentence for finding, places in stood if here.isdisjoint(places))
    return marked, tuple(dict.fromkeys(settled))


def _marked(one: PlacedFinding, mark: Mark) -> PlacedFinding:
    return one if one.mark is mark else replace(one, mark=mark)


def _mark(places: Mapping[Place, float], was: Mapping[Place, float]) -> Mark:
    if not places.keys() <= was.keys():
        return Mark.NEW
    change = sum(size - was[place] for place, size in places.items())
    if abs(change) < _LEAST_CHANGE:
        return Mark.NONE
    return Mark.WORSE if change > 0 else Mark.BETTER


def sizes_of(found: Iterable[PlacedFinding], *, by_name: bool = False) -> dict[Place, float]:
    """How far off each finding is at each place."""
    return {k: size for one in found for k, size in sized(one, by_name=by_name).items()}


def places_of(one: PlacedFinding) -> frozenset[Place]:
    """One for each session that it is true of; two that stand too close are one place."""
    return frozenset(sized(one))


def sized(one: PlacedFinding, *, by_name: bool = False) -> dict[Place, float]:
    """How far off a finding is at each of its places."""
    finding = one.finding
    kind, rule, exercise, about = finding.kind, finding.rule, finding.exercise, finding.about
    if kind is FindingKind.MUSCLE_VOLUME:
        rule = ""
    if kind is FindingKind.SESSION_ORDER and same_fault(finding) & _PUT_RIGHT:
        # However many places are out of order: one act puts them right.
        rule, exercise, about = min(same_fault(finding)), "", ""
    apart = kind is not FindingKind.SPACING
    sessions = one.sessions if by_name else one.keys
    places = (sessions or ("",)) if apart else (" ".join(sessions),)
    found: dict[Place, float] = {}
    for at, size in zip(places, one.sizes or [finding.size] * len(places), strict=True):
        place = Place(kind, rule, exercise, about, at, finding.muscle)
        # Two sessions of one name are one place where places go by name.
        found[place] = found.get(place, 0.0) + size if one.sizes else size
    return found


@lru_cache(maxsize=KEPT_WEEKS)
def _in_sessions(week: WeekFigures, facts: ClientFacts) -> tuple[PlacedFinding, ...]:
    """Joints, equipment, loads to choose, and minutes."""

    def joints(one: SessionFigures) -> tuple[Finding, ...]:
        return joints_in(one, facts.limits_on(one.session.on), facts.joints.overrides)

    def load(one: SessionFigures) -> tuple[Finding, ...]:
        return open_loads_in(one) if facts.is_coming(one.session) else ()

    def length(one: SessionFigures) -> tuple[Finding, ...]:
        return length_in(one, facts.minutes)

    told = (
        _together(week, joints) if facts.joints.limits else (),
        _lacking(week, facts),
        _together(week, load),
        _together(week, length),
    )
    return tuple(one for part in told for one in part)


def _lacking(week: WeekFigures, facts: ClientFacts) -> Iterator[PlacedFinding]:
    """What sessions to come need and the client does not have, once for each kind."""
    if facts.equipment is None:
        return
    coming = [one.session for one in week.sessions if facts.is_coming(one.session)]
    for finding in missing_findings(coming, facts.equipment):
        needing = [(one, count) for one in coming if (count := _needing(one, finding))]
        yield PlacedFinding(
            finding,
            tuple(_called(one, week) for one, _ in needing),
            tuple(one.key for one, _ in needing),
            sizes=tuple(float(count) for _, count in needing),
        )


def _needing(session: PlannedSession, finding: Finding) -> int:
    return sum(finding.about in one.exercise.equipment for one in session.prescriptions)


@lru_cache(maxsize=KEPT_WEEKS)
def _order(week: WeekFigures) -> tuple[PlacedFinding, ...]:
    is_light = week.week.kind is WeekKind.DELOAD
    return () if is_light else tuple(_together(week, lambda one: one.faults))


@lru_cache(maxsize=KEPT_WEEKS)
def _repetitions(week: WeekFigures, level: Level) -> tuple[PlacedFinding, ...]:
    if not _is_build(week):
        return ()
    return tuple(_together(week, lambda one: repetitions_in(one, level)))


def _together(
    week: WeekFigures, told: Callable[[SessionFigures], Sequence[Finding]]
) -> Iterator[PlacedFinding]:
    """Each sentence once, with the sessions it is true of."""
    found: dict[str, tuple[Finding, dict[str, str]]] = {}
    for figures in week.sessions:
        for one in told(figures):
            place = found.setdefault(one.sentence, (one, {}))[1]
            place[figures.session.key] = _called(figures.session, week)
    for finding, places in found.values():
        yield PlacedFinding(finding, tuple(places.values()), tuple(places))


def _called(session: PlannedSession, week: WeekFigures) -> str:
    """The name of a session, with its day where another one of the week has the same."""
    same = [one.session.key for one in week.sessions if one.session.name == session.name]
    if len(same) == 1:
        return session.name
    return f"{session.name} ({session.on:%a}, {same.index(session.key) + 1} of {len(same)})"


@lru_cache(maxsize=KEPT_WEEKS)
def _spacing(week: WeekFigures, following: WeekFigures | None) -> tuple[PlacedFinding, ...]:
    found = []
    for close in close_of_week(week.loads, following.loads if following else ()):
        both = (close.before.session, close.after.session)
        names, keys = tuple(one.name for one in both), tuple(one.key for one in both)
        found.append(PlacedFinding(close_finding(close), names, keys))
    return tuple(found)


def _is_build(week: WeekFigures) -> bool:
    return week.week.kind is WeekKind.BUILD
