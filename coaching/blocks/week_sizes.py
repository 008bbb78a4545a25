"""How far off all that is found in a week is, from counts alone: quick enough for every remedy.

It answers as ``block_findings`` does, without its sentences and numbers.
"""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from functools import lru_cache

from coaching.blocks import charts
from coaching.blocks.block_findings import (
    ClientFacts,
    Place,
    WeekScene,
    loads_in,
    places_of,
    sizes_of,
)
from coaching.blocks.effects import PlacedFinding
from coaching.blocks.plan_figures import KEPT_TRIED, SessionFigures, WeekFigures
from coaching.blocks.session_findings import joints_in, length_in, open_loads_in, repetitions_in
from coaching.rules.balance import Balance, PlaneBalance
from coaching.rules.balance_findings import ActionSets, balance_findings
from coaching.rules.equipment_missing import missing_findings
from coaching.rules.findings import FindingKind, Side
from coaching.rules.muscle_spacing import close_finding, close_of_week
from coaching.rules.plan import JointAction, Level, Muscle, Pattern, Plane, WeekKind
from coaching.rules.set_counts import MuscleSets, SideSets, lean, muscle_sets, side_sets
from coaching.rules.volume_course import WeekVolume, course_findings, row_findings
from coaching.rules.volume_range import weekly_range

Sizes = dict[Place, float]


def mine(own: PlacedFinding) -> frozenset[Place]:
    """What a finding is known by in whatever week and session it is found."""
    return frozenset(anywhere(one) for one in places_of(own))


def anywhere(place: Place) -> Place:
    """The same in any session."""
    return place._replace(session="")


def week_sizes(
    scene: WeekScene,
    sessions: Collection[str],
    *,
    counts: bool,
    before: WeekFigures | None = None,
    loads: bool = False,
) -> Sizes:
    """The sizes of a week: its counts, and what is in the sessions with some keys alone.

    Muscles that had a set ``before`` are under their range where they have none any more.
    ``loads``: those of every session, where what they are held against differs.
    """
    week, facts = scene.week.week, scene.facts
    found = dict(_counted(scene)) if counts else {}
    if counts and before and week.kind is WeekKind.BUILD:
        gone = _course(before).sets.keys() - _course(scene.week).sets.keys()
        found |= dict(_volume(dict.fromkeys(gone, 0.0), facts.level))
    for one in scene.week.sessions:
        if one.session.key in sessions:
            found |= _in_session(one, week.kind, facts)
    if sessions or loads:
        found |= sizes_of(loads_in(scene, None if loads else sessions))
    return found


@lru_cache(maxsize=KEPT_TRIED)
def _in_session(figures: SessionFigures, kind: WeekKind, facts: ClientFacts) -> Sizes:
    """Joints, loads, minutes, order and repetitions."""
    session = figures.session
    limits = facts.limits_on(session.on)
    is_coming = facts.is_coming(session)
    lacks = is_coming and facts.equipment is not None
    told = (
        *(missing_findings((session,), facts.equipment or ()) if lacks else ()),
        *joints_in(figures, limits, facts.joints.overrides),
        *(open_loads_in(figures) if is_coming else ()),
        *length_in(figures, facts.minutes),
        *(figures.faults if kind is not WeekKind.DELOAD else ()),
        *(repetitions_in(figures, facts.level) if kind is WeekKind.BUILD else ()),
    )
    return sizes_of(PlacedFinding(one, (session.name,), (session.key,)) for one in told)


def spaced(scene: WeekScene) -> Sizes:
    """The sizes of what stands too close in a week, and between it and the one that follows."""
    return _spaced(scene.week, scene.following)


@lru_cache(maxsize=KEPT_TRIED)
def _spaced(week: WeekFigures, following: WeekFigures | None) -> Sizes:
    return sizes_of(
        PlacedFinding(close_finding(one), keys=(one.before.session.key, one.after.session.key))
        for one in close_of_week(week.loads, following.loads if following else ())
    )


def _counted(scene: WeekScene) -> Sizes:
    """Sets of muscles, balance, and the course of volume."""
    week, kinds = scene.week, scene.kinds
    course = [*((_course(scene.usual),) if scene.usual else ()), _course(week)]
    told = (
        *course_findings(course, week.week.number),
        *row_findings(kinds, len(kinds), scene.next_kind),
    )
    return {**sizes_of(PlacedFinding(one) for one in told), **_alone(week, scene.facts.level)}


@lru_cache(maxsize=KEPT_TRIED)
def _alone(week: WeekFigures, level: Level) -> Sizes:
    """Balance and sets of muscles: what a week is judged by without those beside it."""
    if week.week.kind is not WeekKind.BUILD:
        return {}
    leans = balance_findings(_balance(week), _actions(week))
    sets = _volume(_course(week).sets, level)
    return sizes_of(PlacedFinding(one) for one in leans) | dict(sets)


def _volume(counted: Mapping[Muscle, float], level: Level) -> Iterator[tuple[Place, float]]:
    low, high = weekly_range(level)
    for muscle, sets in counted.items():
        if muscle not in charts.COUNTED_ONLY and not low <= sets <= high:
            side = Side.ABOVE if sets > high else Side.UNDER
            place = Place(FindingKind.MUSCLE_VOLUME, about=side, muscle=muscle)
            yield place, sets - high if side is Side.ABOVE else low - sets


@lru_cache(maxsize=KEPT_TRIED)
def _course(week: WeekFigures) -> WeekVolume:
    sets: dict[Muscle, float] = {}
    for one in week.sessions:
        for muscle, count in _sets(one).items():
            sets[muscle] = sets.get(muscle, 0.0) + count
    work = sum(one.work for one in week.sessions)
    return WeekVolume(week.week.number, week.week.kind, sets, work)


@lru_cache(maxsize=KEPT_TRIED)
def _sets(figures: SessionFigures) -> MuscleSets:
    return muscle_sets(figures.session.prescriptions)


def _actions(week: WeekFigures) -> ActionSets:
    every: dict[JointAction, int] = {}
    hard: dict[JointAction, int] = {}
    for one in week.sessions:
        for total, part in ((every, one.actions.all), (hard, one.actions.without_prehab)):
            for action, sets in part.items():
                total[action] = total.get(action, 0) + sets
    return ActionSets(every, hard)


def counts_alike(one: SessionFigures, other: SessionFigures) -> bool:
    """Whether no count of a week tells two sessions apart: sets of muscles, sides, and work."""
    if one.work != other.work or _sets(one) != _sets(other):
        return False
    return _sides(one) == _sides(other) and one.actions == other.actions


def _balance(week: WeekFigures) -> Balance:
    """Sets alone: no repetition is judged."""
    sides: Counter[tuple[Pattern, Plane]] = Counter()
    for figures in week.sessions:
        sides.update(_sides(figures))
    planes = tuple(
        PlaneBalance(sides[Pattern.PUSH, plane], sides[Pattern.PULL, plane], 0, 0, plane=plane)
        for plane in Plane
    )
    push, pull = (sum(getattr(one, side) for one in planes) for side in ("push_sets", "pull_sets"))
    return Balance(push, pull, 0, 0, by_plane=planes, by_action=())


@lru_cache(maxsize=KEPT_TRIED)
def _sides(figures: SessionFigures) -> SideSets:
    return side_sets(figures.session.prescriptions)


def lean_of(figures: SessionFigures) -> int:
    """By how many sets pushing and pulling of a session differ."""
    return lean(_sides(figures))
