"""What a client's joints allow."""

from datetime import date
from itertools import permutations

import pytest

from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import (
    JointLimit,
    Joints,
    LimitAction,
    LimitOverride,
    Sparing,
    blocked_by,
    findings_for,
    instead_of,
    offered,
    sparing,
)
from coaching.rules.plan import EquipmentKind, JointStress, Pattern, Plane
from tests.rules.examples import make_exercise, make_prescription, make_session

WRIST = JointStress.WRIST_EXTENSION
OVERHEAD = JointStress.SHOULDER_OVERHEAD
AVOID_WRIST = JointLimit(WRIST, LimitAction.AVOID, side="left", note="sprained in May")


@pytest.mark.parametrize(
    ("action", "blocked"),
    [(LimitAction.AVOID, True), (LimitAction.REGRESS, False), (LimitAction.WATCH, False)],
)
def test_only_a_limit_to_avoid_blocks_an_exercise(action, blocked):
    push_up = make_exercise(joint_stresses=(WRIST,))
    limits = (JointLimit(OVERHEAD, LimitAction.AVOID), JointLimit(WRIST, action))

    found = blocked_by(push_up, limits)

    assert found == ((limits[1],) if blocked else ())


def test_a_client_is_offered_only_what_joints_and_equipment_allow():
    floor = make_exercise("floor", joint_stresses=(WRIST,))
    rings = make_exercise("rings", equipment=(EquipmentKind.RINGS,))
    fists = make_exercise("fists")

    found = offered([floor, rings, fists], [AVOID_WRIST], {EquipmentKind.BANDS})

    assert found == (fists,)


def test_a_finding_names_exercise_loading_side_and_what_to_do():
    push_up = make_exercise(joint_stresses=(WRIST,))
    session = make_session(make_prescription(push_up))

    (found,) = findings_for(session, [AVOID_WRIST])

    assert found.kind is FindingKind.JOINT_LIMIT
    assert found.exercise == "push-up"
    assert found.sentence.startswith("Push up loads wrist bent back under load (left)")
    assert "swap it, or override the limit by name" in found.sentence
    assert "licensed practitioner" in found.rule
    assert "sprained in May" in [one.value for one in found.evidence]


def test_what_must_be_avoided_is_told_before_what_is_watched():
    first = make_prescription(make_exercise("first", joint_stresses=(OVERHEAD,)))
    second = make_prescription(make_exercise("second", joint_stresses=(WRIST,)))
    limits = [JointLimit(OVERHEAD, LimitAction.WATCH), AVOID_WRIST]

    found = findings_for(make_session(first, second), limits)

    assert [one.exercise for one in found] == ["second", "first"]


def test_a_session_that_loads_no_limit_has_no_finding():
    session = make_session(make_prescription(make_exercise(joint_stresses=(OVERHEAD,))))

    assert findings_for(session, [AVOID_WRIST]) == ()


def test_easier_rungs_come_first_then_the_same_plane_by_closeness_then_another():
    hard = make_exercise("hard", ladder="push-up", rung=5, complexity=3, joint_stresses=(WRIST,))
    rungs = [make_exercise(f"rung-{n}", ladder="push-up", rung=n) for n in (3, 4, 6)]
    near = make_exercise("near", complexity=3)
    far = make_exercise("far", complexity=1)
    watched = make_exercise("watched", complexity=3, joint_stresses=(OVERHEAD,))
    other_plane = make_exercise("press", plane=Plane.VERTICAL)
    pull = make_exercise("row", Pattern.PULL)
    candidates = [far, watched, near, *rungs, other_plane, pull, hard]

    found = instead_of(
        hard, candidates, [AVOID_WRIST, JointLimit(OVERHEAD, LimitAction.WATCH)], set()
    )

    assert [one.key for one in found] == [*("rung-4", "rung-3", "near", "far", "watched", "press")]


def test_the_order_of_candidates_does_not_change_the_ranking():
    one = make_exercise("one")
    candidates = [
        make_exercise(key, complexity=c) for key, c in zip("abcd", (2, 2, 3, 1), strict=True)
    ]

    answers = {instead_of(one, order, [], set()) for order in permutations(candidates)}

    assert len(answers) == 1


def test_a_blocked_exercise_never_replaces_another():
    one = make_exercise("one")
    blocked = make_exercise("blocked", joint_stresses=(WRIST,))

    assert instead_of(one, [blocked], [AVOID_WRIST], set()) == ()


def test_an_override_covers_the_limit_it_answered_and_not_a_later_one_on_the_same_joint():
    stress = JointStress.SHOULDER_OVERHEAD
    press = make_exercise("press", joint_stresses=(stress,))
    left = JointLimit(stress, LimitAction.AVOID, side="left", key=1)
    right = JointLimit(stress, LimitAction.AVOID, side="right", key=2)
    cleared = LimitOverride("press", frozenset({1}), "Ana", date(2026, 3, 2), "Left only.")

    assert blocked_by(press, [left], [cleared]) == ()
    assert blocked_by(press, [left, right], [cleared]) == (right,)


def test_an_overridden_limit_is_told_last_with_who_did_it_when_and_why():
    press = make_exercise("press", joint_stresses=(OVERHEAD,))
    push_up = make_exercise("push-up", joint_stresses=(WRIST,))
    limits = [JointLimit(OVERHEAD, LimitAction.AVOID, key=1), JointLimit(WRIST, LimitAction.WATCH)]
    cleared = LimitOverride("press", frozenset({1}), "Ana", date(2026, 11, 3), "Cleared.")
    session = make_session(make_prescription(press), make_prescription(push_up))

    found = findings_for(session, limits, [cleared])

    assert [one.exercise for one in found] == ["push-up", "press"]
    assert found[-1].sentence == (
        "Press loads shoulder overhead, which this client avoids; "
        "overridden by Ana on 3 Nov 2026: Cleared."
    )


@pytest.mark.parametrize(
    ("since", "until", "holds"),
    [
        (None, None, True),
        (date(2026, 3, 9), None, True),
        (date(2026, 3, 10), None, False),
        (date(2026, 3, 1), date(2026, 3, 9), False),
        (date(2026, 3, 1), date(2026, 3, 10), True),
    ],
)
def test_a_limit_that_ended_or_is_still_to_come_does_not_count(since, until, holds):
    limit = JointLimit(WRIST, LimitAction.AVOID, since=since, until=until)
    push_up = make_exercise(joint_stresses=(WRIST,))

    found = Joints((limit,)).blocking(push_up, date(2026, 3, 9))

    assert found == ((limit,) if holds else ())


REGRESS_WRIST = JointLimit(WRIST, LimitAction.REGRESS)
PUSH_UP = make_exercise(ladder="push-up", rung=3, joint_stresses=(WRIST,), body_share=0.7)


@pytest.mark.parametrize(
    ("other", "how"),
    [
        (make_exercise("wall", ladder="push-up", rung=1), Sparing.EASIER_RUNG),
        (
            make_exercise(
                "incline", ladder="push-up", rung=2, joint_stresses=(WRIST,), body_share=0.5
            ),
            Sparing.LOADS_LESS,
        ),
        (
            make_exercise(
                "same", ladder="push-up", rung=2, joint_stresses=(WRIST,), body_share=0.7
            ),
            Sparing.RUNG_LOADS_IT,
        ),
        (make_exercise("press"), Sparing.SWAP),
        (make_exercise("plank", joint_stresses=(WRIST,)), Sparing.SWAP_LOADS_IT),
    ],
)
def test_a_replacement_is_told_apart_by_how_it_treats_what_is_regressed(other, how):
    assert sparing(PUSH_UP, other, [REGRESS_WRIST]) is how
    assert how.spares is (how in {Sparing.EASIER_RUNG, Sparing.LOADS_LESS, Sparing.SWAP})


def test_what_is_regressed_is_replaced_by_what_spares_it_before_a_nearer_rung_that_loads_it():
    wall = make_exercise("wall", ladder="push-up", rung=1)
    same = make_exercise("same", ladder="push-up", rung=2, joint_stresses=(WRIST,))
    press = make_exercise("press")

    found = instead_of(PUSH_UP, [same, press, wall], [REGRESS_WRIST], set())

    assert [one.key for one in found] == ["wall", "press", "same"]
