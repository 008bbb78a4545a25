"""Whatever a plan holds: a remedy helps with what it is offered for, and harms nothing else."""

from collections import Counter
from random import Random

import pytest

from coaching.blocks.block_findings import (
    ClientFacts,
    kept_findings,
    places_of,
    scene_of,
    sizes_of,
    volume_findings,
)
from coaching.blocks.editing.acts import apply_act
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.remedies import MOST_REMEDIES, remedied
from coaching.blocks.snapshots import locked_in
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import JointStress, Level
from coaching.rules.session_faults import same_fault
from coaching.rules.volume_course import TWO_LIGHT_RULE
from tests.coaching.editing.drawn_plans import drawn_plan, drawn_setting
from tests.coaching.editing.plans import EXERCISES
from tests.coaching.shelves import shelf_with

SHELF = shelf_with(EXERCISES)
KINDS = list(FindingKind)


def drawn_facts(rng, plan, setting):
    limits = [
        JointLimit(rng.choice(list(JointStress)), rng.choice(list(LimitAction)), key=n)
        for n in range(rng.randint(0, 2))
    ]
    return ClientFacts(
        rng.choice(list(Level)),
        rng.choice([30, 45, 60, 75]),
        Joints(tuple(limits)),
        setting.today,
        setting.begun,
        locked_in(plan),
    )


def told(plan, facts, number):
    figures = plan_figures(plan, EXERCISES)
    scene = scene_of(figures, figures[number - 1], facts)
    return scene, (*kept_findings(scene), *volume_findings(scene))


@pytest.mark.parametrize("seed", range(60))
def test_a_remedy_settles_or_lessens_its_finding_and_brings_nothing_as_pressing(seed):
    rng = Random(seed)  # noqa: S311 - a drawing, no secret
    plan = drawn_plan(rng)
    setting = drawn_setting(rng, plan)
    facts = drawn_facts(rng, plan, setting)
    number = rng.randint(1, len(plan["weeks"]))
    scene, before = told(plan, facts, number)
    was = sizes_of(before)
    here = remedied(scene, SHELF)

    assert [one.finding for one in (*here.findings, *here.volume)] == [
        one.finding for one in before
    ]
    for placed in (*here.findings, *here.volume):
        assert len(placed.remedies) <= MOST_REMEDIES
        for remedy in placed.remedies:
            # It never meets what is past, begun or locked: that would raise.
            after = apply_act(plan, remedy.act, setting).snapshot
            if remedy.act["act"] == "remove-week":
                # What stands in its place is another week: the block has one fault less.
                assert in_a_row(after, facts) == in_a_row(plan, facts) - 1
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
    """How many light weeks of a block follow another one."""
    weeks = range(1, len(plan["weeks"]) + 1)
    rules = [one.finding.rule for number in weeks for one in told(plan, facts, number)[1]]
    return rules.count(TWO_LIGHT_RULE)


def assert_better_ordered(scene, then, placed):
    was_by_rule, by_rule = ordered(scene, placed), ordered(then, placed)
    rules = same_fault(placed.finding.rule)
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
