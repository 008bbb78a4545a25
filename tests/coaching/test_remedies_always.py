"""Whatever a plan holds: a remedy helps with what it is offered for, and harms nothing else."""

from collections import Counter
from copy import deepcopy
from dataclasses import replace
from random import Random

import pytest

from coaching.blocks.block_findings import (
    WEEK,
    ClientFacts,
    kept_findings,
    places_of,
    scene_of,
    sizes_of,
    volume_findings,
)
from coaching.blocks.editing.acts import apply_act
from coaching.blocks.editing.places import EditSetting
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.planned_loads import KnownLoads
from coaching.blocks.remedies import MOST_REMEDIES, remedied
from coaching.blocks.remedies_equipment import MOST_AT_ONCE
from coaching.blocks.snapshots import locked_in
from coaching.blocks.whole_block import WholeBlock
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import EquipmentKind, JointStress, Level, LoadKind
from coaching.rules.session_faults import same_fault
from coaching.rules.volume_course import TWO_LIGHT_RULE
from tests.coaching.editing.drawn_plans import drawn_plan, drawn_setting
from tests.coaching.editing.plans import EXERCISES as WITHOUT_JOINTS
from tests.coaching.shelves import shelf_with

STRESSES = (JointStress.SHOULDER_OVERHEAD, JointStress.WRIST_EXTENSION, JointStress.KNEE_IMPACT)
NEEDED = (EquipmentKind.DUMBBELLS, EquipmentKind.BENCH, EquipmentKind.RINGS)
_PLANNED = {
    row: replace(
        one,
        joint_stresses=(STRESSES[row % len(STRESSES)],),
        equipment=(NEEDED[row % len(NEEDED)],) if row % 2 else (),
    )
    for row, one in WITHOUT_JOINTS.items()
}
OTHERS = {
    100 + row: replace(one, key=f"{one.key}-other", name=f"{one.name} other", equipment=())
    for row, one in _PLANNED.items()
}
EXERCISES = {**_PLANNED, **OTHERS}
"""What plans are drawn from, and for each one more that stands in where equipment is gone."""
KINDS = list(FindingKind)
MADE = (0.0, 5.0, 7.5, 10.0, 12.5, 20.0)
TYPED = (5.0, 8.3, 20.0, 200.0)
ODD = (3, 12, 3)
FEW, HALF, MOST = 0.15, 0.5, 0.7


def drawn_facts(rng, plan, setting):
    limits = [
        JointLimit(rng.choice(STRESSES), rng.choice(list(LimitAction)), key=n)
        for n in range(rng.randint(0, 2))
    ]
    return ClientFacts(
        rng.choice(list(Level)),
        rng.choice([30, 45, 60, 75]),
        Joints(tuple(limits)),
        setting.today,
        setting.begun,
        locked_in(plan),
        loads=KnownLoads(made=drawn_made(rng)),
        equipment=frozenset(kind for kind in NEEDED if rng.random() < HALF),
    )


def drawn_made(rng):
    """What the equipment makes for most of the exercises that take a load."""
    loaded = [one for one in EXERCISES.values() if one.load_kind is not LoadKind.NONE]
    return frozenset((one.key, MADE) for one in loaded if rng.random() < MOST)


def as_typed(rng, plan):
    """A drawn plan with loads and sets as a finger slips."""
    plan = deepcopy(plan)
    for line in lines_of(plan):
        if rng.random() < FEW:
            line["load_kg"] = rng.choice(TYPED)
        if rng.random() < FEW:
            line["targets"] = list(ODD)
    return plan


def lines_of(plan):
    for week in plan["weeks"]:
        for session in week["sessions"]:
            for pair in session["pairs"]:
                yield from pair["lines"]


def told(plan, facts, number):
    figures = plan_figures(plan, EXERCISES)
    scene = scene_of(figures, figures[number - 1], facts)
    return scene, (*kept_findings(scene), *volume_findings(scene))


SEEDS = range(100)
KINDS_WITH_REMEDIES = {
    FindingKind.JOINT_LIMIT,
    FindingKind.EQUIPMENT,
    FindingKind.PLANNED_LOAD,
    FindingKind.SESSION_MINUTES,
    FindingKind.SESSION_ORDER,
    FindingKind.REPETITIONS,
    FindingKind.SPACING,
    FindingKind.MUSCLE_VOLUME,
    FindingKind.VOLUME_COURSE,
}
ACTS = {
    "swap-line",
    "replace-exercise",
    "nudge-line",
    "nudge-pair",
    "shorten-session",
    "arrange-session",
    "fix-pairing",
    "remove-session",
    "change-line",
    "move-session",
    "remove-week",
    "lighten-week",
}


def drawn(seed):
    rng = Random(seed)  # noqa: S311 - a drawing, no secret
    plan = as_typed(rng, drawn_plan(rng))
    drawn = drawn_setting(rng, plan)
    setting = EditSetting(drawn.today, drawn.begun, exercises=EXERCISES)
    facts = drawn_facts(rng, plan, setting)
    shelf = shelf_with(EXERCISES, kinds=tuple(facts.equipment))
    number = rng.randint(1, len(plan["weeks"]))
    scene, _ = told(plan, facts, number)
    whole = WholeBlock(plan_figures(plan, EXERCISES), facts, plan, EXERCISES, shelf=shelf)
    return plan, setting, facts, number, remedied(scene, whole)


def test_over_all_that_is_drawn_each_kind_of_finding_and_each_act_is_offered():
    """Else the property beside this one would look at nothing."""
    offered: Counter[FindingKind] = Counter()
    acts: Counter[str] = Counter()
    for seed in SEEDS:
        *_, here = drawn(seed)
        for placed in (*here.findings, *here.volume):
            offered[placed.finding.kind] += len(placed.remedies)
            acts.update(one.act["act"] for one in placed.remedies)

    assert {kind for kind, count in offered.items() if count} == KINDS_WITH_REMEDIES
    assert acts.keys() >= ACTS


@pytest.mark.parametrize("seed", SEEDS)
def test_a_remedy_settles_or_lessens_its_finding_and_brings_nothing_as_pressing(seed):
    plan, setting, facts, number, here = drawn(seed)
    scene, before = told(plan, facts, number)
    was = sizes_of(before)

    assert [one.finding for one in (*here.findings, *here.volume)] == [
        one.finding for one in before
    ]
    for placed in (*here.findings, *here.volume):
        most = MOST_AT_ONCE if placed.finding.kind is FindingKind.EQUIPMENT else MOST_REMEDIES
        assert len(placed.remedies) <= most
        for remedy in placed.remedies:
            # It never meets what is past, begun or locked: that would raise.
            after = apply_act(plan, remedy.act, setting).snapshot
            assert_no_other_week_worse(plan, after, facts, number, placed, remedy)
            if remedy.act["act"] == "remove-week":
                # What stands in its place is another week: the block has one fault less.
                assert in_a_row(after, facts) == in_a_row(plan, facts) - 2
                continue
            then, found = told(after, facts, number)
            if remedy.act["act"] in {"arrange-session", "fix-pairing"}:
                # Such a finding names pairs, which are others now: it is counted by its rule.
                assert_better_ordered(scene, then, placed)
                continue
            assert_less(placed, was, sizes_of(found), remedy.words)


def assert_less(placed, was, now, words):
    """A finding is less, and nothing as pressing came with it."""
    mine, kind = places_of(placed), placed.finding.kind
    assert all(now.get(one, 0) <= was[one] + 1e-6 for one in mine), words
    assert sum(now.get(one, 0) for one in mine) < sum(was[one] for one in mine)
    # What is put in has its load chosen next.
    came = {one.kind for one in now.keys() - was.keys() - mine}
    came -= {FindingKind.LOAD_TO_CHOOSE}
    rank = KINDS.index(kind)
    assert {one for one in came if KINDS.index(one) <= rank} == set(), words
    if kind is FindingKind.MUSCLE_VOLUME:
        assert came == set()


def in_a_row(plan, facts):
    """How often a light week beside another one is told: at both."""
    weeks = range(1, len(plan["weeks"]) + 1)
    rules = [one.finding.rule for number in weeks for one in told(plan, facts, number)[1]]
    return rules.count(TWO_LIGHT_RULE)


def assert_better_ordered(scene, then, placed):
    was_by_rule, by_rule = ordered(scene, placed), ordered(then, placed)
    rules = same_fault(placed.finding)
    assert sum(by_rule[r] for r in rules) < sum(was_by_rule[r] for r in rules)
    assert by_rule <= was_by_rule


def ordered(scene, placed):
    """How often each rule of order is broken in the sessions of a finding."""
    return Counter(
        one.rule
        for figures in scene.week.sessions
        if figures.session.key in placed.keys
        for one in figures.order
    )


def assert_no_other_week_worse(plan, after, facts, number, placed, remedy):
    """Nothing as pressing comes to another week; what is less pressing is told on the button."""
    was, now = list(by_week(plan, facts)), list(by_week(after, facts))
    own = number - 1
    if len(now) < len(was):
        del was[own]
        own = None
    weeks = [n for n, (starts_on, _) in enumerate(now) if starts_on + WEEK > facts.today]
    worse = {n: set(worse_in(was[n][1], now[n][1])) for n in weeks}
    known = worse.pop(own, set())
    for n, found in worse.items():
        mine = {one for one in was[n][1] if alike(one, placed)}
        is_gaining = sum(now[n][1].get(one, 0) for one in mine) < sum(was[n][1][o] for o in mine)
        pressing = [o for o in found if KINDS.index(o.kind) <= KINDS.index(placed.finding.kind)]
        assert pressing == [], (n + 1, remedy.words)
        kinds = {one.kind for one in found} - ({one.kind for one in known} if is_gaining else set())
        assert not kinds or "; then look at " in remedy.words, (n + 1, remedy.words)
        goes_on = remedy.act["reach"] != "week" and remedy.act["act"] not in NO_REACH
        if goes_on and plan["weeks"][n] != after["weeks"][n]:
            assert is_gaining or not found, (n + 1, remedy.words)


NO_REACH = {"remove-week", "lighten-week", "light-week-anew", "replace-exercise"}


def worse_in(was, now):
    for one, size in now.items():
        # What is put in has its load chosen next.
        is_next = one.kind is FindingKind.LOAD_TO_CHOOSE
        if size > was.get(one, 0) + 1e-6 and not is_next:
            yield one


def alike(place, placed):
    return place._replace(session="") in {one._replace(session="") for one in places_of(placed)}


def by_week(plan, facts):
    """The first day of each week, and how far off each finding of it is."""
    figures = plan_figures(plan, EXERCISES)
    for week in figures:
        scene = scene_of(figures, week, facts)
        yield week.week.starts_on, sizes_of((*kept_findings(scene), *volume_findings(scene)))
