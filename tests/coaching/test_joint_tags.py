"""Joint tags of the shared exercises, set beside each other: what loads as much is tagged as much.

Which joint an exercise loads is common practice, no source; that what moves as much of the body in
the same movement loads the same joints follows from the load itself.
"""

import pytest

from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.joint_limits import JointLimit, LimitAction
from coaching.rules.plan import EquipmentKind, Exercise, JointAction, JointStress, LoadKind, Pattern
from coaching.rules.stand_in import stand_ins

EXERCISES = [one.exercise for one in read_shared_catalogue()]
BY_KEY = {one.key: one for one in EXERCISES}
S = JointStress

STRAIGHT_WRIST = "rings, bars and parallettes keep the wrist straight"
HANGS = "nothing stands on the hands"
NO_OVERHEAD = "the arms stay below the shoulders"
BAND = "a band pulls least where the joint is bent most, and is light"
TWO_ARMS = "both arms share it evenly, the other is done mostly with one"
LEVEL = "held level, not head down"
BOX = "the box ends it at level thighs, with the shins upright"
LOW_BOX = "the box is below the knee, so it never bends as deep"
HIPS = "the hips move, the knees bend little"

LOADS_LESS = {
    S.WRIST_EXTENSION: {
        "ring-push-up": STRAIGHT_WRIST,
        "band-assisted-dip": STRAIGHT_WRIST,
        "eccentric-dip": STRAIGHT_WRIST,
        "dip": STRAIGHT_WRIST,
        "ring-dip": STRAIGHT_WRIST,
        "deep-ring-dip": STRAIGHT_WRIST,
        "deficit-handstand-push-up": STRAIGHT_WRIST,
        "scapular-dip": STRAIGHT_WRIST,
        "scapular-row": HANGS,
        "scapular-pull-up": HANGS,
    },
    S.ELBOW_STRAIGHT_ARM: {"frog-stand": "on bent arms", "scapular-pull-up": HANGS},
    S.SHOULDER_STRAIGHT_ARM: {"frog-stand": "on bent arms"},
    S.ELBOW_PRESS: {
        "bar-support-hold": "on straight arms",
        "ring-support-hold": "on straight arms",
        "tuck-planche": "on straight arms",
        "advanced-tuck-planche": "on straight arms",
        "straddle-planche": "on straight arms",
        "full-planche": "on straight arms",
        "band-chest-press": BAND,
        "band-overhead-press": BAND,
        "band-pushdown": BAND,
    },
    S.ELBOW_FLEXED_PULL: {
        "foot-assisted-pull-up": "the feet take what the arms cannot",
        "ring-row": TWO_ARMS,
        "feet-raised-row": TWO_ARMS,
        "band-pulldown": BAND,
        "band-curl": BAND,
    },
    S.SHOULDER_OVERHEAD: {
        "tuck-back-lever": NO_OVERHEAD,
        "advanced-tuck-back-lever": NO_OVERHEAD,
        "straddle-back-lever": NO_OVERHEAD,
        "full-back-lever": NO_OVERHEAD,
        "kneeling-scapular-push-up": NO_OVERHEAD,
        "scapular-push-up": NO_OVERHEAD,
        "scapular-row": NO_OVERHEAD,
        "scapular-dip": NO_OVERHEAD,
    },
    S.NECK: {
        "tuck-front-lever": LEVEL,
        "advanced-tuck-front-lever": LEVEL,
        "one-leg-front-lever": LEVEL,
        "straddle-front-lever": LEVEL,
        "full-front-lever": LEVEL,
    },
    S.GRIP: {"scapular-dip": "the hands stand on the bars"},
    S.KNEE_DEEP_FLEXION: {
        "box-squat": BOX,
        "step-up": LOW_BOX,
        "kettlebell-deadlift": HIPS,
        "barbell-deadlift": HIPS,
    },
    S.HIP_DEEP_FLEXION: {"box-pistol-squat": BOX},
    S.ANKLE_DEEP_FLEXION: {"box-pistol-squat": BOX},
}


def is_excepted(one: Exercise, stress: JointStress) -> bool:
    return one.key in LOADS_LESS.get(stress, {})


def untagged_rungs() -> set[tuple[str, JointStress]]:
    """Rungs that move as much as an easier one in the same way and lack a joint of it."""
    return {
        (harder.key, stress)
        for easier in EXERCISES
        for harder in EXERCISES
        if easier.ladder
        and harder.ladder == easier.ladder
        and harder.rung > easier.rung
        and (harder.pattern, harder.plane) == (easier.pattern, easier.plane)
        and harder.body_share >= easier.body_share
        for stress in set(easier.joint_stresses) - set(harder.joint_stresses)
    }


BY_ACTION = {
    (Pattern.PUSH, JointAction.ELBOW_EXTENSION): S.ELBOW_PRESS,
    (Pattern.PULL, JointAction.ELBOW_FLEXION): S.ELBOW_FLEXED_PULL,
    (Pattern.LEGS, JointAction.KNEE_EXTENSION): S.KNEE_DEEP_FLEXION,
}


def untagged_movements() -> set[tuple[str, JointStress]]:
    """Exercises on any ladder or none that move as much as a tagged one and lack its joint."""
    return {
        (one.key, stress)
        for (pattern, action), stress in BY_ACTION.items()
        for tagged in EXERCISES
        for one in EXERCISES
        if tagged.pattern is one.pattern is pattern
        and stress in tagged.joint_stresses
        and stress not in one.joint_stresses
        and action in tagged.joint_actions
        and action in one.joint_actions
        and (one.plane, one.multi_joint) == (tagged.plane, tagged.multi_joint)
        and (one.load_kind is LoadKind.EXTERNAL) == (tagged.load_kind is LoadKind.EXTERNAL)
        and one.body_share >= tagged.body_share
    }


def test_a_rung_that_moves_as_much_loads_the_joints_of_the_easier_one():
    untagged = untagged_rungs()

    assert sorted(f"{key}: {s}" for key, s in untagged if not is_excepted(BY_KEY[key], s)) == []


def test_what_moves_as_much_at_an_elbow_or_a_knee_is_tagged_for_it():
    untagged = untagged_movements()

    assert sorted(f"{key}: {s}" for key, s in untagged if not is_excepted(BY_KEY[key], s)) == []


def test_every_exception_is_still_one():
    listed = {(key, stress) for stress, keys in LOADS_LESS.items() for key in keys}

    assert listed == untagged_rungs() | untagged_movements()


# A slow lowering, a wide grip, a hold or a load on the belt is the same movement: common practice,
# no source.
VARIANTS = {
    "push-up": ("wide-push-up", "eccentric-push-up", "close-push-up", "explosive-push-up"),
    "pull-up": ("wide-pull-up", "eccentric-pull-up", "ring-pull-up", "flexed-arm-hang"),
    "chin-up": ("ring-chin-up-lowering", "archer-pull-up"),
    "dip": ("eccentric-dip", "ring-dip"),
    "wall-handstand-push-up": ("eccentric-handstand-push-up",),
    "goblet-squat": ("kettlebell-goblet-squat",),
    "split-squat": ("reverse-lunge", "walking-lunge", "rear-foot-raised-split-squat"),
    "dumbbell-overhead-press": ("half-kneeling-press", "kettlebell-press"),
    "barbell-bench-press": ("dumbbell-bench-press",),
    "tuck-front-lever": ("tuck-front-lever-row",),
}


@pytest.mark.parametrize("key", VARIANTS)
def test_a_variant_loads_what_its_full_form_loads(key: str):
    full = set(BY_KEY[key].joint_stresses)
    less = {one: full - set(BY_KEY[one].joint_stresses) for one in VARIANTS[key]}

    assert {one: stresses for one, stresses in less.items() if stresses} == {}


def test_a_muscle_up_presses_out_to_straight_arms():
    turned_over = [
        one
        for one in EXERCISES
        if one.pattern is Pattern.PULL and JointAction.ELBOW_EXTENSION in one.joint_actions
    ]

    assert len(turned_over) >= 4
    assert [one.key for one in turned_over if S.ELBOW_PRESS not in one.joint_stresses] == []


AVOIDED = [
    (key, stress)
    for stress in (S.ELBOW_PRESS, S.ELBOW_FLEXED_PULL, S.KNEE_DEEP_FLEXION)
    for key in sorted(one.key for one in EXERCISES if stress in one.joint_stresses)
]
AS_HEAVY = {
    S.ELBOW_PRESS: {"wide-push-up", "eccentric-push-up", "half-kneeling-press", "cable-pushdown"},
    S.ELBOW_FLEXED_PULL: {"band-assisted-pull-up", "lat-pulldown", "barbell-curl"},
    S.KNEE_DEEP_FLEXION: {"wall-sit"},
}


@pytest.mark.parametrize(("key", "stress"), AVOIDED)
def test_what_loads_a_sore_joint_as_much_does_not_stand_in(key: str, stress: JointStress):
    limits = (JointLimit(stress, LimitAction.AVOID),)
    found = stand_ins(BY_KEY[key], EXERCISES, limits, frozenset(EquipmentKind))

    assert AS_HEAVY[stress].isdisjoint(one.key for one in found)
