"""Loads of a block while it is edited: jumps, what cannot be made, and the way back in one act."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from coaching.blocks.block_findings import ClientFacts, kept_findings, scene_of
from coaching.blocks.editing.acts import apply_act
from coaching.blocks.logged_loads import logged_loads
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.planned_loads import KnownLoads, LoggedLoad, loads_before
from coaching.blocks.remedies import remedied
from coaching.blocks.whole_block import WholeBlock
from coaching.library.models import Exercise
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import Joints
from coaching.rules.plan import Level
from sessions.models import LoggedSession, LoggedSet
from tests.coaching.editing.plans import EXERCISES, PRESS, act, block, setting
from tests.rules.examples import MONDAY, day

KEY, NAME = EXERCISES[PRESS].key, EXERCISES[PRESS].name
FACTS = ClientFacts(Level.INTERMEDIATE, 90, Joints(), today=MONDAY)


def with_load(load, line="w2-press", **more):
    return act(block(), "change-line", line=line, load_kg=str(load), **more).snapshot


def loads_told(plan, number, facts=FACTS):
    weeks = plan_figures(plan, EXERCISES)
    found = remedied(
        scene_of(weeks, weeks[number - 1], facts), WholeBlock(weeks, facts, plan, EXERCISES)
    ).findings
    return [one for one in found if one.finding.kind is FindingKind.PLANNED_LOAD]


def sentences(plan, number, facts=FACTS):
    return [one.finding.sentence for one in loads_told(plan, number, facts)]


def test_a_zero_too_many_is_told_where_it_begins_and_not_in_the_weeks_after():
    plan = with_load(75, reach="onward")

    assert [sentences(plan, number) for number in (1, 2, 3, 4)] == [
        [],
        [f"{NAME}: 75 kg is 10 times the 7.5 kg of week 1."],
        [],
        [],
    ]


@pytest.mark.parametrize("reach", ["week", "onward"])
def test_one_act_sets_the_load_as_it_was_wherever_it_went(reach):
    plan = with_load(75, reach=reach)
    (told,) = loads_told(plan, 2)
    (remedy,) = told.remedies

    assert remedy.words == f"{NAME} with 7.5 kg, as in week 1"
    after = apply_act(plan, remedy.act, setting()).snapshot
    assert after == block()


def test_in_the_first_week_the_block_before_counts_and_without_it_the_week_after():
    plan = with_load(75, line="w1-press")
    before = replace(FACTS, loads=KnownLoads(frozenset({(KEY, 15.0)}), "block 3"))

    assert sentences(plan, 1) == [f"{NAME}: 75 kg is 10 times the 7.5 kg of week 2."]
    assert sentences(plan, 1, before) == [f"{NAME}: 75 kg is 5 times the 15 kg of block 3."]


def logged(load):
    done = frozenset({LoggedLoad(KEY, load, date(2026, 2, 27))})
    return replace(FACTS, loads=KnownLoads(frozenset({(KEY, 60.0)}), "block 3", logged=done))


def test_what_was_lifted_for_weeks_may_be_planned_though_the_plan_asked_for_less():
    plan = with_load(65)

    assert sentences(plan, 2) == [f"{NAME}: 65 kg is 8.7 times the 7.5 kg of week 1."]
    assert sentences(plan, 2, logged(62.5)) == []


def test_a_load_far_above_all_that_was_lifted_is_told_though_the_block_before_asked_for_it():
    plan = with_load(60, line="w1-press")

    (told,) = loads_told(plan, 1, logged(20.0))

    assert told.finding.sentence == f"{NAME}: 60 kg is 3 times the 20 kg of the log (27 Feb)."
    (remedy,) = told.remedies
    assert remedy.words == f"{NAME} with 20 kg, as in the log (27 Feb)"
    assert sentences(apply_act(plan, remedy.act, setting()).snapshot, 1, logged(20.0)) == []


def test_once_told_it_is_not_told_again_in_each_week_after():
    plan = with_load(60, line="w1-press", reach="onward")

    assert [len(sentences(plan, number, logged(20.0))) for number in (1, 2, 3)] == [1, 0, 0]


@pytest.mark.django_db
def test_the_hardest_of_late_is_read_and_neither_warm_ups_nor_light_weeks_nor_long_ago(cleo):
    today = cleo.local_date(timezone.now())
    shared = Exercise.objects.filter(coach=None)
    squat = shared.get(key="goblet-squat")
    helped = shared.filter(load_kind="assisted").order_by("pk")[0]
    lifted: list[tuple[int, Exercise, float, dict[str, Any]]] = [
        (7, squat, 20, {}),
        (14, squat, 22.5, {}),
        (3, squat, 200, {"warm_up": True}),
        (3, squat, 150, {"removed_at": timezone.now()}),
        (90, squat, 100, {}),
        (5, helped, 30, {}),
        (4, helped, 25, {}),
        (2, helped, 0, {}),
    ]
    for days, exercise, load, more in lifted:
        put_down(cleo, today - timedelta(days=days), exercise, load, **more)
    put_down(cleo, today, squat, 130, kind="deload")

    assert {one.key: (one.load, (today - one.on).days) for one in logged_loads(cleo)} == {
        "goblet-squat": (22.5, 14),
        helped.key: (25, 4),
    }


def put_down(client, on, exercise, load, kind="build", **more):
    now = timezone.now()
    row = LoggedSession.objects.create(client=client, on=on, kind=kind, name="Floor")
    sets = {"number": 1, "amount": 6, "load_kg": load, "done_at": now, "uid": uuid4(), **more}
    LoggedSet.objects.create(logged_session=row, exercise=exercise, **sets)


def test_what_is_past_or_begun_is_not_told():
    plan = with_load(75)

    assert sentences(plan, 2, replace(FACTS, today=day(14))) == []
    assert sentences(plan, 2, replace(FACTS, begun=frozenset({"w2-a"}))) == []


def test_what_is_locked_is_told_without_a_button():
    plan = act(with_load(75), "lock", session="w2-a").snapshot
    facts = replace(FACTS, locked=frozenset({"w2-a"}))

    (told,) = loads_told(plan, 2, facts)

    assert told.remedies == ()
    assert "locked" in told.way_out


def test_a_load_that_cannot_be_made_is_told_with_the_two_that_can():
    plan = with_load(8.3)
    facts = replace(FACTS, loads=KnownLoads(made=frozenset({(KEY, (5.0, 7.5, 10.0))})))

    (told,) = loads_told(plan, 2, facts)

    assert told.finding.sentence == (
        f"{NAME}: 8.3 kg cannot be made with the client's equipment, 7.5 kg or 10 kg can."
    )
    assert [one.words for one in told.remedies] == [f"{NAME} with 7.5 kg", f"{NAME} with 10 kg"]
    for remedy in told.remedies:
        assert sentences(apply_act(plan, remedy.act, setting()).snapshot, 2, facts) == []


@pytest.mark.parametrize("reach", ["week", "onward"])
def test_an_odd_set_is_made_even_in_one_act_wherever_it_went(reach):
    typed = {"targets": "10-15-10", "reach": reach}
    plan = act(block(), "change-line", line="w2-press", **typed).snapshot
    weeks = plan_figures(plan, EXERCISES)
    scene = scene_of(weeks, weeks[1], FACTS)
    found = remedied(scene, WholeBlock(weeks, FACTS, plan, EXERCISES)).findings

    (told,) = (one for one in found if "far from the others" in one.finding.sentence)
    (remedy,) = told.remedies
    assert remedy.words.partition(";")[0] == f"{NAME} 3 × 10"
    assert apply_act(plan, remedy.act, setting()).snapshot == block()


def test_the_hardest_loads_of_a_week_are_kept_by_exercise():
    (week, *_) = plan_figures(block(), EXERCISES)

    assert dict(loads_before(week))[KEY] == 7.5
    assert loads_before(None) == frozenset()


def test_a_plan_without_jumps_has_no_such_finding():
    weeks = plan_figures(block(), EXERCISES)

    kinds = {one.finding.kind for w in weeks for one in kept_findings(scene_of(weeks, w, FACTS))}
    assert FindingKind.PLANNED_LOAD not in kinds
