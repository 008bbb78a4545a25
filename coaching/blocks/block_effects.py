"""What a whole block does, week by week, and what the last edit changed in it.

A pure composition of the rules: the plan's figures and what is known of the client in, what
the panel beside the plan shows out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from coaching.blocks import charts
from coaching.blocks.against import Against, by_action, by_plane
from coaching.blocks.block_findings import (
    ClientFacts,
    WeekScene,
    block_findings,
    judged,
    kept_findings,
    scene_of,
    volume_findings,
    with_marks,
)
from coaching.blocks.effects import (
    NOTHING_CHANGED,
    PlacedFinding,
    SessionEffect,
    WeekEffects,
    edit_sentence,
    session_effect,
)
from coaching.blocks.muscle_rows import LastBlock, MuscleRow, counted_sets, muscle_rows
from coaching.blocks.plan_figures import KEPT_WEEKS, WeekFigures
from coaching.blocks.remedies import MOST_MUSCLES, Remedied, remedied
from coaching.blocks.trained_elsewhere import trained_elsewhere
from coaching.blocks.values_changed import values_changed
from coaching.blocks.whole_block import WholeBlock
from coaching.blocks.words import weeks_named
from coaching.rules.plan import Muscle, WeekKind
from coaching.rules.volume import MuscleVolume
from coaching.rules.volume_course import light_share
from coaching.rules.volume_range import VolumeLine


@dataclass(frozen=True, slots=True)
class Change:
    """What the last edit did, told of the week that is shown; ``weeks`` names all it touched.

    ``minutes`` is by session uid: +2. ``settled`` are findings that are gone, ``elsewhere`` says
    which other weeks it touched: weeks 3, 4 and 6.
    """

    sentence: str
    weeks: tuple[int, ...]
    muscles: Mapping[Muscle, str]
    minutes: Mapping[str, str]
    settled: tuple[str, ...]
    elsewhere: str = ""


@dataclass(frozen=True, slots=True)
class WeekColumn:
    """One week of the block in numbers; ``share`` is told of light weeks: 40 %."""

    number: int
    starts_on: date
    kind: str
    is_chosen: bool
    is_light: bool
    is_changed: bool
    working_sets: int
    reps: int
    balance: str
    share: str
    findings: int
    is_worse: bool = False
    """Whether the last edit brought something to look at, or made it larger."""


@dataclass(frozen=True, slots=True)
class MuscleDetail:
    """One muscle in the week that is shown."""

    label: str
    direct_sets: int
    counted: str
    direct_reps: int
    usual: str
    outside: bool
    changed: str


@dataclass(frozen=True, slots=True)
class BlockEffects:
    """Everything that the panel shows; ``week`` is the chosen week's part."""

    week: WeekEffects
    number: int
    columns: tuple[WeekColumn, ...]
    rows: tuple[MuscleRow, ...]
    details: tuple[MuscleDetail, ...]
    planes: tuple[Against, ...]
    actions: tuple[Against, ...]
    findings: tuple[PlacedFinding, ...]
    volume: tuple[PlacedFinding, ...] = ()
    change: Change | None = None
    last_block: str = ""
    is_remedied: bool = True

    @property
    def chosen(self) -> WeekColumn:
        """The week that is shown, in numbers."""
        return next(one for one in self.columns if one.is_chosen)

    @property
    def longest(self) -> SessionEffect | None:
        """The session of the week that takes longest."""
        return max(self.week.sessions, key=lambda one: one.minutes, default=None)

    @property
    def muscles_first(self) -> tuple[PlacedFinding, ...]:
        """The muscles that are furthest outside their range."""
        return self.volume[:MOST_MUSCLES]

    @property
    def muscles_then(self) -> tuple[PlacedFinding, ...]:
        """The others outside their range."""
        return self.volume[MOST_MUSCLES:]

    @property
    def muscles_named(self) -> str:
        """The same by name: quadriceps, biceps."""
        named = (one.finding.muscle for one in self.muscles_then)
        return ", ".join(muscle.value for muscle in named if muscle)

    @property
    def elsewhere(self) -> tuple[WeekColumn, ...]:
        """The other weeks in which something was found."""
        return tuple(one for one in self.columns if one.findings and not one.is_chosen)


def block_effects(
    weeks: Sequence[WeekFigures],
    facts: ClientFacts,
    *,
    chosen: int,
    before: Sequence[WeekFigures] = (),
    last: LastBlock | None = None,
    whole: WholeBlock | None = None,
) -> BlockEffects:
    """What a block does, with one week in full.

    Args:
        weeks: The plan's weeks, as ``plan_figures`` gives them; at least one.
        facts: What of the client the plan is judged by.
        chosen: The number of the week that is shown.
        before: The plan before the last edit, empty when there is nothing to compare with.
        last: The client's block before this one.
        whole: The block with its plan, to look for what settles the findings: it takes its time.
    """
    week = weeks[chosen - 1]
    was = _counterparts(weeks, before)
    then = was[chosen - 1]
    missing = trained_elsewhere(weeks, week, then, last)
    lines = judged(week, facts.level, frozenset(muscle for muscle, _ in missing))
    scene, settled = scene_of(weeks, week, facts, missing), tuple[str, ...]()
    here = remedied(scene, whole) if whole else _bare(scene)
    findings, volume = here.findings, here.volume
    if then is not None and then is not week:
        prior = scene_of(before, then, facts, trained_elsewhere(before, then, None, last))
        findings, gone = with_marks(findings, kept_findings(prior))
        volume, within = with_marks(volume, volume_findings(prior))
        settled = (*gone, *within)
    change = _change(weeks, was, facts, chosen, settled) if before else None
    effects = _week_effects(week, lines, facts, change)
    return BlockEffects(
        week=effects,
        number=chosen,
        columns=_columns(weeks, facts, chosen, change, _worse(weeks, before, was, facts)),
        rows=muscle_rows(weeks, was if before else (), facts.level, chosen, last),
        details=tuple(_detail(line, week.volume, change) for line in lines),
        planes=by_plane(week.balance),
        actions=tuple(by_action(one) for one in week.balance.by_action),
        findings=findings,
        volume=volume,
        change=change,
        last_block=last.name if last else "",
        is_remedied=bool(whole) or not (findings or volume),
    )


def _bare(scene: WeekScene) -> Remedied:
    """What is found in a week without what settles it."""
    return Remedied(kept_findings(scene), volume_findings(scene))


@lru_cache(maxsize=KEPT_WEEKS)
def told_alone(week: WeekFigures, facts: ClientFacts) -> WeekEffects:
    """What a week does to muscles, balance and time, without what an edit did to it."""
    return _week_effects(week, judged(week, facts.level), facts)


def _week_effects(
    week: WeekFigures,
    lines: tuple[VolumeLine, ...],
    facts: ClientFacts,
    change: Change | None = None,
) -> WeekEffects:
    return WeekEffects(
        lines=lines,
        chart=charts.spine_volume(
            lines,
            chart_id="week-volume",
            title=f"Week {week.week.number}, sets per muscle",
            changed=change.muscles if change else None,
        ),
        balance=week.balance,
        sessions=tuple(session_effect(one, facts.minutes) for one in week.sessions),
    )


def _counterparts(
    weeks: Sequence[WeekFigures], before: Sequence[WeekFigures]
) -> tuple[WeekFigures | None, ...]:
    """What each week was before: the one that shares most sessions, else the one of that day.

    A week that another one goes on from is nobody else's past: a week put in before it is new.
    """
    shared = [_sharing_most(one, before) for one in weeks]
    left = [b for b in before if not any(b is one for one in shared)]
    by_day = {one.week.starts_on: one for one in left}
    return tuple(
        found or by_day.get(one.week.starts_on) for one, found in zip(weeks, shared, strict=True)
    )


def _sharing_most(week: WeekFigures, before: Sequence[WeekFigures]) -> WeekFigures | None:
    if any(one is week for one in before):
        return week
    keys = {one.session.key for one in week.sessions}
    shared = [len(keys.intersection(one.session.key for one in b.sessions)) for b in before]
    return before[shared.index(max(shared))] if any(shared) else None


def _change(
    weeks: Sequence[WeekFigures],
    was: Sequence[WeekFigures | None],
    facts: ClientFacts,
    chosen: int,
    settled: tuple[str, ...],
) -> Change:
    now, then = weeks[chosen - 1], was[chosen - 1]
    touched = tuple(one.week.number for one, b in zip(weeks, was, strict=True) if one is not b)
    elsewhere = weeks_named([number for number in touched if number != chosen])
    if then is None:
        return Change("This week is new.", touched, {}, {}, (), elsewhere)
    if then is now:
        said = f"Nothing in this week, only in {elsewhere}." if elsewhere else NOTHING_CHANGED
        return Change(said, touched, {}, {}, settled)
    after, prior = (told_alone(one, facts) for one in (now, then))
    minutes = {one.key: one.minutes for one in prior.sessions}
    return Change(
        sentence=_sentence(values_changed(then.week, now.week), edit_sentence(prior, after)),
        weeks=touched,
        muscles={
            muscle: charts.signed(by)
            for muscle in Muscle
            if (by := counted_sets(now, muscle) - counted_sets(then, muscle))
        },
        minutes={
            one.key: charts.signed(one.minutes - minutes[one.key])
            for one in after.sessions
            if one.key in minutes and one.minutes != minutes[one.key]
        },
        settled=settled,
        elsewhere=elsewhere,
    )


def _sentence(values: str, counts: str) -> str:
    """How an exercise is done first: of its sums nothing may change."""
    if not values:
        return counts
    return f"{values}." if counts == NOTHING_CHANGED else f"{values}. {counts}"


def _worse(
    weeks: Sequence[WeekFigures],
    before: Sequence[WeekFigures],
    was: Sequence[WeekFigures | None],
    facts: ClientFacts,
) -> frozenset[int]:
    """The weeks in which the last edit brought something to look at, touched by it or not."""
    found = set()
    for week, then in zip(weeks, was, strict=True):
        if then is None:
            continue
        now, prior = scene_of(weeks, week, facts), scene_of(before, then, facts)
        if now != prior:
            marked, _ = with_marks(kept_findings(now), kept_findings(prior))
            if any(one.mark.is_alarm for one in marked):
                found.add(week.week.number)
    return frozenset(found)


def _columns(
    weeks: Sequence[WeekFigures],
    facts: ClientFacts,
    chosen: int,
    change: Change | None,
    worse: frozenset[int],
) -> tuple[WeekColumn, ...]:
    found = zip(weeks, block_findings(weeks, facts), strict=True)
    columns = (
        _column(one, weeks, chosen, 0 if facts.is_over(one) else len(told), change)
        for one, told in found
    )
    return tuple(replace(one, is_worse=one.number in worse) for one in columns)


def _column(
    week: WeekFigures,
    weeks: Sequence[WeekFigures],
    chosen: int,
    findings: int,
    change: Change | None,
) -> WeekColumn:
    number = week.week.number
    share = light_share([one.course for one in weeks], number)
    return WeekColumn(
        number=number,
        starts_on=week.week.starts_on,
        kind=week.week.kind.value,
        is_chosen=number == chosen,
        is_light=week.week.kind is WeekKind.DELOAD,
        is_changed=bool(change and number in change.weeks),
        working_sets=week.working_sets,
        reps=week.reps,
        balance=f"{week.balance.push_sets} : {week.balance.pull_sets}",
        share="" if share is None else f"{share:.0%}",
        findings=findings,
    )


def _detail(
    line: VolumeLine, volume: Mapping[Muscle, MuscleVolume], change: Change | None
) -> MuscleDetail:
    got = volume.get(line.muscle, MuscleVolume(line.muscle))
    return MuscleDetail(
        label=line.muscle.value,
        direct_sets=got.direct_sets,
        counted=charts.sets_text(got.fractional_sets),
        direct_reps=got.direct_reps,
        usual=charts.range_text(line),
        outside=charts.is_outside(line),
        changed=change.muscles.get(line.muscle, "") if change else "",
    )
