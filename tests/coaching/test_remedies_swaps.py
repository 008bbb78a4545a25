"""What settles joints and repetitions: another exercise, other targets; and where nothing can."""

from dataclasses import replace

import pytest

from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import JointStress, LoadKind, Measure, Part, Pattern, WeekKind
from tests.coaching.effecting import FACTS, PUSH, ROW
from tests.coaching.remedying import (
    CALF,
    KNEES,
    found_in,
    line,
    of_kind,
    pair_of,
    words,
)
from tests.coaching.shelves import shelf_with
from tests.rules.examples import (
    day,
    make_exercise,
    make_prescription,
)

AVOIDS = (JointLimit(JointStress.WRIST_EXTENSION, LimitAction.AVOID, key=1),)


@pytest.mark.parametrize(
    ("action", "offered"), [("avoid", True), ("regress", True), ("watch", False)]
)
def test_what_a_joint_must_be_spared_is_swapped_for_what_spares_it(action, offered):
    limits = (JointLimit(JointStress.WRIST_EXTENSION, LimitAction(action), key=1),)
    shelf = shelf_with({5: PUSH, 6: make_exercise("floor-press", equipment=[])})

    found = found_in(pair_of(), facts=replace(FACTS, joints=Joints(limits)), shelf=shelf)

    (told,) = of_kind(found, FindingKind.JOINT_LIMIT)
    assert words(told) == (["Floor press instead of Push up"] if offered else [])
    assert not offered or told.remedies[0].act["exercise"] == "6"


def test_an_easier_rung_comes_before_another_exercise():
    rung = replace(PUSH, ladder="push-up", rung=3)
    shelf = shelf_with({5: rung, 6: make_exercise("floor-press"), 7: KNEES})
    pair = (make_prescription(rung, [6] * 5, key="push"), pair_of()[1])

    found = found_in(pair, facts=replace(FACTS, joints=Joints(AVOIDS)), shelf=shelf)

    (told,) = of_kind(found, FindingKind.JOINT_LIMIT)
    assert words(told) == ["Knee push up instead of Push up", "Floor press instead of Push up"]


def test_no_swap_is_offered_that_loads_another_limit():
    limits = (*AVOIDS, JointLimit(JointStress.ELBOW_PRESS, LimitAction.WATCH, key=2))
    press = make_exercise("press", joint_stresses=[JointStress.ELBOW_PRESS])

    found = found_in(
        pair_of(), facts=replace(FACTS, joints=Joints(limits)), shelf=shelf_with({6: press})
    )

    (told,) = of_kind(found, FindingKind.JOINT_LIMIT)
    assert words(told) == []


DIP = make_exercise("dip", ladder="dip", rung=4, load_kind=LoadKind.ADDED)
RING_DIP = make_exercise("ring-dip", ladder="dip", rung=5)


def repetitions(*reps, **more):
    dip = make_prescription(DIP, reps, key="dip")
    row = make_prescription(ROW, [6] * len(reps), key="row")
    return of_kind(found_in((dip, row), **more), FindingKind.REPETITIONS)


def test_repetitions_far_above_their_part_go_back_to_the_end_of_its_range():
    (told,) = repetitions(14, 14, 13, 13, 13, shelf=shelf_with({4: DIP, 5: RING_DIP}))

    assert words(told) == ["Dip 5 × 8, Monday"]
    assert told.remedies[0].act == {
        "act": "change-line",
        "line": "dip",
        "targets": "8",
        "reach": "onward",
    }
    assert told.way_out == ("The next harder rung is Ring dip: swap it in and start at the range.")


def test_a_plank_of_a_few_seconds_is_held_as_long_as_a_plank_begins():
    plank = make_exercise("plank", Pattern.CORE, measure=Measure.SECONDS, complexity=1)
    line = make_prescription(plank, [5] * 3, key="plank", part=Part.ISOLATION)

    (told,) = of_kind(found_in((line,)), FindingKind.REPETITIONS)

    assert told.finding.sentence == "Plank asks for 5-5-5 s: a hold is 10 s or longer."
    assert words(told) == ["Plank 3 × 20 s, Monday"]
    assert told.remedies[0].act["targets"] == "20"


def test_a_later_week_that_is_in_its_range_is_left_alone():
    later = (
        make_prescription(DIP, [7] * 5, key="dip2"),
        make_prescription(ROW, [6] * 5, key="row2"),
    )

    (told,) = repetitions(14, 14, 13, 13, 13, following=(later,))

    assert told.remedies[0].act["reach"] == "week"


@pytest.mark.parametrize("kind", [WeekKind.DELOAD, WeekKind.TEST])
def test_light_and_test_weeks_are_not_judged_by_repetitions(kind):
    assert repetitions(20, 20, 20, kind=kind) == []


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        # A week that is over needs no word: all of it stays.
        (replace(FACTS, today=day(20)), ""),
        (replace(FACTS, today=day(1)), "It is past or begun, so it stays as it was."),
        (
            replace(FACTS, begun=frozenset({"s"})),
            "It is past or begun, so it stays as it was.",
        ),
        (
            replace(FACTS, locked=frozenset({"s"})),
            "What is locked stays: unlock it to change it.",
        ),
    ],
)
def test_nothing_is_offered_for_what_can_no_longer_change_and_why_is_said(facts, why):
    strict = replace(facts, minutes=20, joints=Joints(AVOIDS))

    found = found_in(pair_of(), line(CALF, reps=20), facts=strict, shelf=shelf_with({6: DIP}))

    assert len(found.findings) >= 3
    assert {one.remedies for one in (*found.findings, *found.volume)} == {()}
    assert {one.way_out for one in found.findings if one.keys} == {why}


def test_a_jump_is_never_offered_for_a_knee_that_must_not_bend_deep():
    limits = (JointLimit(JointStress.KNEE_DEEP_FLEXION, LimitAction.AVOID, key=1),)
    squat = replace(
        CALF, key="squat", name="Squat", joint_stresses=(JointStress.KNEE_DEEP_FLEXION,)
    )
    jump = replace(CALF, key="jump", name="Jump", joint_stresses=(JointStress.KNEE_IMPACT,))
    hinge = replace(CALF, key="hinge", name="Hinge")
    facts = replace(FACTS, joints=Joints(limits))

    (told,) = of_kind(
        found_in(line(squat), facts=facts, shelf=shelf_with({5: jump, 6: hinge})),
        FindingKind.JOINT_LIMIT,
    )

    assert words(told) == ["Hinge instead of Squat"]
