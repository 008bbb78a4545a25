"""What comes in for variation is like what it replaces and no step down; what worked goes on."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.rules.joint_limits import JointLimit, LimitAction
from coaching.rules.next_block import KEEP, LastBlock, Outcome, next_block, ranked
from coaching.rules.next_block_likeness import compared, equal_load, lack_of, varied
from coaching.rules.plan import (
    EquipmentKind,
    JointAction,
    JointStress,
    LoadKind,
    Measure,
    Part,
    Pattern,
    Plane,
)
from coaching.rules.progression import Exposure, next_target
from coaching.rules.progression_case import Known
from tests.rules.examples import (
    MONDAY,
    make_exercise,
    make_prescription,
    make_pull_up,
    make_sets,
)
from tests.rules.next_block_cases import other, stalled
from tests.rules.test_next_block import (
    CHIN_UP,
    MET,
    PULL_DOWN,
    PULL_UP,
    choice_of,
    done,
)

PRESS = make_exercise(
    "incline-dumbbell-press",
    body_share=0.0,
    load_kind=LoadKind.EXTERNAL,
    equipment=(EquipmentKind.DUMBBELLS,),
)
BENCH = replace(PRESS, key="dumbbell-press", name="Dumbbell press")
BAND = replace(PRESS, key="band-press", name="Band press", equipment=(EquipmentKind.BANDS,))
CABLE = replace(PRESS, key="cable-press", name="Cable press", equipment=(EquipmentKind.CABLE,))


def pressed(**more) -> LastBlock:
    """A dumbbell press at 30 kg whose targets were met, after two blocks alike."""
    asked = make_prescription(PRESS, (8, 8, 8), load=30.0, part=Part.SUPPLEMENTARY)
    met = Exposure(
        on=MONDAY, sets=make_sets(PRESS, (8, 8, 8), targets=(8, 8, 8), load=30.0), planned=asked
    )
    target = next_target(
        asked, (met,), loads=(30.0, 32.0), harder=None, easier=None, body_weight=80.0
    )
    return LastBlock(asked=asked, exposures=(met,), target=target, blocks_alike=2, **more)


def test_a_heavy_dumbbell_lift_gives_way_to_free_weights_and_not_to_a_band_or_a_cable():
    # Common practice, no source: variation keeps the kind of loading.
    others = (other(BAND, load=5.0), other(CABLE, load=5.0), other(BENCH, load=1.0))

    found = choice_of(pressed(others=others))

    assert found.exercise is BENCH
    assert found.load_is_open


def test_where_nothing_is_like_it_the_lift_stays_goes_on_and_says_why():
    found = choice_of(pressed(others=(other(BAND, load=5.0), other(CABLE, load=5.0))))

    assert (found.exercise, found.outcome, found.load) == (PRESS, Outcome.STEP_UP, 30.0)
    assert "stays: Cable press is nearest, but is loaded by a machine. " in found.sentence


@pytest.mark.parametrize(
    ("others", "says"),
    [
        ((other(BENCH, load=30.0, hurt=True),), "hurt above 5 of 10 when it was last done"),
        ((other(replace(BENCH, measure=Measure.SECONDS)),), "is asked in seconds"),
        ((other(replace(BENCH, pattern=Pattern.PULL)),), "moves another way"),
        ((other(replace(BENCH, complexity=5)),), "is harder to coordinate"),
    ],
)
def test_what_is_nearest_is_named_with_what_keeps_it_out(others, says):
    found = choice_of(pressed(others=others))

    assert found.exercise is PRESS
    assert f"stays: Dumbbell press is nearest, but {says}. " in found.sentence


def test_what_the_block_has_already_is_named_as_that_and_no_line_says_free_here():
    one = pressed(others=(other(CABLE, load=5.0), other(BENCH, load=30.0)))
    lines = {"a": one, "b": LastBlock(asked=make_prescription(BENCH, (8, 8, 8), load=30.0))}

    found = next_block(lines)["a"]

    assert (
        "Dumbbell press is nearest, but the last block or the next one has it elsewhere"
        in found.sentence
    )
    assert "free here" not in found.sentence


def test_without_any_other_exercise_it_says_what_allows_none():
    found = choice_of(pressed(others=()))

    assert "equipment, joints and level allow no other exercise" in found.sentence


def test_whatever_would_come_in_for_variety_lacks_nothing_and_the_rest_lack_something():
    tried = (BENCH, CABLE, BAND, replace(BENCH, key="wide", plane=Plane.VERTICAL))
    one = pressed(others=tuple(other(each, load=30.0) for each in tried))

    free = {each.exercise.key for each in one.others if not lack_of(one, each)}

    assert free == {each.exercise.key for each in varied(one, one.others)} == {BENCH.key}


def test_a_load_that_the_client_has_used_comes_before_one_to_choose():
    other_press = replace(BENCH, key="a-press", name="A press")
    others = (other(other_press, load=1.0), other(BENCH, load=28.0, load_known=True))

    found = choice_of(pressed(others=others))

    assert (found.exercise, found.load, found.load_is_open) == (BENCH, 28.0, False)


def weighted_chin(**more) -> LastBlock:
    """A chin-up with 10 kg at 70 kg of body weight that stalled."""
    asked = make_prescription(CHIN_UP, (8, 8, 8), load=10.0)
    sets = make_sets(CHIN_UP, (7, 7, 7), targets=(8, 8, 8))
    return LastBlock(
        asked=asked,
        exposures=(Exposure(on=MONDAY, sets=sets, planned=asked),),
        target=None,
        trend=stalled(),
        body_weight=70.0,
        **more,
    )


def test_a_weighted_lift_is_not_given_up_for_one_with_less_to_move():
    # 70 kg of body and 10 kg more are 80 kg; lowering without load moves 70 kg (arithmetic).
    lowering = make_pull_up("lowering-chin-up", load_kind=LoadKind.NONE)

    assert choice_of(weighted_chin(others=(other(lowering),))).exercise is CHIN_UP


def test_another_one_as_heavy_for_the_muscles_carries_its_load_over():
    # 70 + 10 kg on both; at a body share of 0.9 it would be 63 + 17 kg, of which 15 can be made.
    loads = (0.0, 5.0, 10.0, 15.0, 20.0)
    lighter = make_pull_up("ring-pull-up", body_share=0.9)

    assert equal_load((CHIN_UP, 10.0), make_pull_up("ring"), loads, 70.0) == 10.0
    assert equal_load((CHIN_UP, 10.0), lighter, loads, 70.0) == 15.0
    assert equal_load((CHIN_UP, 10.0), PULL_DOWN, loads, 70.0) is None

    one = weighted_chin(others=(other(lighter, load=15.0, load_equal=True),))

    assert (choice_of(one).exercise, choice_of(one).load) == (lighter, 15.0)
    assert "as heavy for the muscles" in choice_of(one).sentence


def asked_already(*, with_following: bool) -> LastBlock:
    """A block that asks 8,7,7,7,7 already, with 7,7,7,7,7 met and nothing logged since."""
    met = done(MET, MONDAY)
    up = make_prescription(PULL_UP, (8, 7, 7, 7, 7))
    known: Known = {"loads": (0.0,), "harder": None, "easier": None, "body_weight": 70.0}
    reached = Exposure(
        on=MONDAY + timedelta(days=4),
        sets=make_sets(PULL_UP, up.targets, targets=up.targets),
        planned=up,
    )
    return LastBlock(
        asked=up,
        exposures=(met,),
        target=next_target(make_prescription(PULL_UP), (met,), **known),
        following=next_target(up, (met, reached), **known) if with_following else None,
    )


def test_a_lift_that_worked_goes_on_by_the_step_after_the_one_that_the_block_asks_already():
    # The stair as coaches write it: 7,7,7,7,7, then 8,7,7,7,7, then 8,8,7,7,7 (common practice).
    found = choice_of(asked_already(with_following=True))

    assert (found.outcome, found.targets, found.why) == (
        Outcome.STEP_UP,
        (8, 8, 7, 7, 7),
        "if it goes as planned",
    )
    assert "worked" not in found.sentence
    assert found.sentence.endswith("Look at it again before publishing.")
    assert "asks 8, 7, 7, 7, 7 reps at body weight already" in found.sentence
    assert "ask for 8, 7" not in found.sentence


def test_where_no_step_after_is_known_the_block_comes_over_as_it_runs_and_says_so():
    found = choice_of(asked_already(with_following=False))

    assert (found.outcome, found.targets) == (Outcome.KEEP, (8, 7, 7, 7, 7))
    assert found.sentence.endswith("nothing is logged on it yet: Pull up comes over as it is.")
    assert "ask for" not in found.sentence


def test_what_loads_a_joint_that_hurts_elsewhere_is_not_exchanged_for_variety():
    # A new movement on a joint that hurts adds load that nobody has tried: common practice.
    press = replace(PRESS, joint_stresses=(JointStress.WRIST_EXTENSION,))
    sore = make_exercise("push-up", joint_stresses=(JointStress.WRIST_EXTENSION,))
    asked = make_prescription(sore)
    hurt = Exposure(on=MONDAY, sets=make_sets(sore, MET, targets=MET, pain=6), planned=asked)
    lifted = pressed(others=(other(BENCH, load=30.0, load_known=True),))
    own = replace(lifted, asked=replace(lifted.asked, exercise=press))
    hurting = LastBlock(asked=asked, exposures=(hurt,))

    alone = next_block({"press": own})["press"]
    beside = next_block({"press": own, "push-up": hurting})["press"]

    assert alone.exercise is BENCH
    assert beside.exercise is press


def test_what_works_by_the_same_joint_actions_is_offered_before_what_is_only_loaded_alike():
    hinge = make_exercise("hinge", joint_actions=(JointAction.HIP_EXTENSION,))
    lunge = replace(hinge, key="lunge", joint_actions=(JointAction.KNEE_EXTENSION,))
    morning = replace(
        hinge,
        key="good-morning",
        load_kind=LoadKind.EXTERNAL,
        equipment=(EquipmentKind.BANDS,),
    )
    case = LastBlock(asked=make_prescription(hinge), others=(other(lunge), other(morning)))

    assert [one.exercise.key for one in ranked(case)] == ["good-morning", "lunge"]


def test_what_is_past_its_range_says_so_and_not_only_that_it_worked():
    asked = make_prescription(make_exercise("lean-back", load_kind=LoadKind.NONE), (12, 12, 12))
    asked = replace(asked, part=Part.SUPPLEMENTARY)
    met = Exposure(
        on=MONDAY,
        sets=make_sets(asked.exercise, (12, 12, 12), targets=(12, 12, 12)),
        planned=asked,
    )
    target = next_target(asked, (met,), loads=(0.0,), harder=None, easier=None, body_weight=80.0)

    found = choice_of(LastBlock(asked=asked, exposures=(met,), target=target))

    assert (found.outcome, found.why) == (Outcome.STEP_UP, "past its range")


# --- joints, and a rung that the block has ---------------------------------------------------------


def test_variety_brings_no_load_on_a_joint_that_is_watched_or_hurt_elsewhere():
    # Common practice, no source: change is no reason to load anew what a client should mind.
    bent = make_pull_up("bent", joint_stresses=(JointStress.LOWER_BACK_COMPRESSION,))
    plain = make_pull_up("zz-plain")
    asked = make_prescription(make_pull_up("supported"), part=Part.SUPPLEMENTARY)
    case = LastBlock(asked=asked, others=(other(bent), other(plain)))
    watched = replace(
        case,
        limits=(JointLimit(JointStress.LOWER_BACK_COMPRESSION, LimitAction.WATCH, since=MONDAY),),
    )
    sore = replace(case, sore_joints=frozenset({JointStress.LOWER_BACK_COMPRESSION}))

    names = [[one.exercise.key for one in varied(x, x.others)] for x in (case, watched, sore)]

    assert names == [["bent", "zz-plain"], ["zz-plain"], ["zz-plain"]]
    # What loads it already is no worse for going on with it.
    own = replace(watched, asked=make_prescription(bent, part=Part.SUPPLEMENTARY))
    more = make_pull_up("more", joint_stresses=(JointStress.LOWER_BACK_COMPRESSION,))
    assert varied(own, (other(more),))


def test_past_the_range_with_the_next_rung_in_the_block_another_exercise_comes_in():
    low = make_pull_up("low", ladder="rows", rung=2)
    high = make_pull_up("high", ladder="rows", rung=3)
    asked = make_prescription(low, (9,) * 5, part=Part.PRIMARY)
    logged = (Exposure(on=MONDAY, sets=make_sets(low, (9,) * 5, targets=(9,) * 5), planned=asked),)
    target = next_target(asked, logged, loads=(0.0,), harder=high, easier=None, body_weight=70.0)
    free = make_pull_up("free")
    line = LastBlock(asked=asked, exposures=logged, target=target, rung=high, others=(other(free),))
    there = LastBlock(asked=make_prescription(high, part=Part.SUPPLEMENTARY))

    found = next_block({"low": line, "high": there})["low"]
    alone = next_block({"low": replace(line, others=()), "high": there})["low"]
    kept = next_block({"low": line, "high": there}, {"low": KEEP})["low"]

    assert target.exercise_key == high.key
    assert (found.outcome, found.exercise) == (Outcome.SWAP, free)
    assert f"its next rung, {high.name}, is in the block already" in found.sentence
    assert (alone.outcome, alone.targets) == (Outcome.KEEP, (9,) * 5)
    assert (kept.exercise, kept.targets) == (low, (9,) * 5)


def test_after_pain_the_easier_rung_comes_in_though_the_block_has_it():
    knee = make_exercise("knee", ladder="push-up", rung=2)
    incline = make_exercise("incline", ladder="push-up", rung=3)
    asked = make_prescription(incline, (7,) * 5)
    sets = make_sets(incline, (7,) * 5, targets=(7,) * 5, pain=6)
    logged = (Exposure(on=MONDAY, sets=sets, planned=asked),)
    target = next_target(asked, logged, loads=(0.0,), harder=None, easier=knee, body_weight=70.0)
    line = LastBlock(asked=asked, exposures=logged, target=target, rung=knee)

    found = next_block({"a": line, "b": LastBlock(asked=make_prescription(knee, (8,) * 3))})["a"]

    assert (found.outcome, found.exercise, found.why) == (Outcome.STEP_BACK, knee, "hurt")


def test_how_hard_another_is_goes_by_rung_then_level_then_what_is_moved():
    own = make_exercise("pull-up", ladder="pull-up", rung=4, load_kind=LoadKind.ADDED)
    above = make_exercise("chest-to-bar", ladder="pull-up", rung=5, load_kind=LoadKind.ADDED)
    below = make_exercise("negative", ladder="pull-up", rung=3, load_kind=LoadKind.ADDED)
    wide = make_exercise("wide-pull-up", load_kind=LoadKind.ADDED)
    line = LastBlock(asked=make_prescription(own, [5] * 5, load=3.75))

    assert compared(line, other(above)) == "harder"
    assert compared(line, other(below)) == "easier"
    # No load carried is less to move; for a level beyond it is harder all the same.
    assert compared(line, other(wide)) == "easier"
    assert compared(line, other(wide), 1) == "harder"
