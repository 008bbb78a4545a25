"""The shared library is complete, consistent, and agrees with what was published."""

from collections import Counter
from itertools import pairwise

import pytest

from coaching.library.shared_catalogue import (
    Ladder,
    SharedExercise,
    read_ladders,
    read_shared_catalogue,
)
from coaching.rules.body import Body, Sex
from coaching.rules.bodyweight_load import fitted
from coaching.rules.plan import (
    Chain,
    EquipmentKind,
    Exercise,
    JointAction,
    JointStress,
    Level,
    LoadKind,
    Measure,
    Muscle,
    Pattern,
    Plane,
    Tempo,
)

E = EquipmentKind
EQUIPMENT_SETS = {
    "floor only": frozenset[EquipmentKind](),
    "rings at home": frozenset({E.RINGS}),
    "bands and dumbbells": frozenset({E.BANDS, E.DUMBBELLS}),
    "pull-up bar and dip bars": frozenset({E.PULL_UP_BAR, E.DIP_BARS}),
    "full gym": frozenset(EquipmentKind),
}

# Joint actions that oppose each other, and those whose two directions are two sides of the
# body. General anatomy, from memory.
A = JointAction
OPPOSITES = [
    (A.SHOULDER_HORIZONTAL_ADDUCTION, A.SHOULDER_HORIZONTAL_ABDUCTION),
    (A.SHOULDER_FLEXION, A.SHOULDER_EXTENSION),
    (A.SHOULDER_ABDUCTION, A.SHOULDER_ADDUCTION),
    (A.SHOULDER_INTERNAL_ROTATION, A.SHOULDER_EXTERNAL_ROTATION),
    (A.SCAPULAR_PROTRACTION, A.SCAPULAR_RETRACTION),
    (A.SCAPULAR_ELEVATION, A.SCAPULAR_DEPRESSION),
    (A.ELBOW_EXTENSION, A.ELBOW_FLEXION),
    (A.WRIST_EXTENSION, A.WRIST_FLEXION),
    (A.TRUNK_FLEXION, A.TRUNK_EXTENSION),
    (A.HIP_EXTENSION, A.HIP_FLEXION),
    (A.HIP_ABDUCTION, A.HIP_ADDUCTION),
    (A.KNEE_EXTENSION, A.KNEE_FLEXION),
    (A.ANKLE_PLANTAR_FLEXION, A.ANKLE_DORSIFLEXION),
]

# What each muscle does, so that a main mover moves something of its own. General anatomy, from
# memory. Two muscle words stand for neighbours that the list does not have: upper back for the
# serratus (protraction), calves for the shin (dorsiflexion), abs for the obliques and for the
# inner thigh in a side plank. Forearms hold in every grip.
MOVES = {
    Muscle.CHEST: {A.SHOULDER_HORIZONTAL_ADDUCTION, A.SHOULDER_FLEXION},
    Muscle.FRONT_DELT: {A.SHOULDER_FLEXION, A.SHOULDER_HORIZONTAL_ADDUCTION},
    Muscle.SIDE_DELT: {A.SHOULDER_ABDUCTION},
    Muscle.TRICEPS: {A.ELBOW_EXTENSION},
    Muscle.QUADRICEPS: {A.KNEE_EXTENSION},
    Muscle.CALVES: {A.ANKLE_PLANTAR_FLEXION, A.ANKLE_DORSIFLEXION},
    Muscle.UPPER_BACK: {
        A.SCAPULAR_RETRACTION,
        A.SCAPULAR_ELEVATION,
        A.SCAPULAR_DEPRESSION,
        A.SCAPULAR_PROTRACTION,
    },
    Muscle.LATS: {A.SHOULDER_EXTENSION, A.SHOULDER_ADDUCTION},
    Muscle.REAR_DELT: {A.SHOULDER_HORIZONTAL_ABDUCTION},
    Muscle.BICEPS: {A.ELBOW_FLEXION},
    Muscle.FOREARMS: {A.WRIST_FLEXION, A.WRIST_EXTENSION, A.ELBOW_FLEXION},
    Muscle.HAMSTRINGS: {A.HIP_EXTENSION, A.KNEE_FLEXION},
    Muscle.GLUTES: {A.HIP_EXTENSION, A.HIP_ABDUCTION},
    Muscle.ABS: {
        A.TRUNK_FLEXION,
        A.TRUNK_ROTATION,
        A.TRUNK_LATERAL_FLEXION,
        A.HIP_ADDUCTION,
    },
    Muscle.LOWER_BACK: {A.TRUNK_EXTENSION, A.HIP_EXTENSION},
    Muscle.ROTATOR_CUFF: {A.SHOULDER_EXTERNAL_ROTATION, A.SHOULDER_INTERNAL_ROTATION},
}

SHARED = read_shared_catalogue()
EXERCISES = tuple(one.exercise for one in SHARED)
BY_KEY = {one.key: one for one in EXERCISES}
LADDERS = read_ladders()


def possible_with(equipment: frozenset[EquipmentKind]) -> list[Exercise]:
    return [one for one in EXERCISES if equipment.issuperset(one.equipment)]


def earliest(equipment: frozenset[EquipmentKind], pattern: Pattern, plane: Plane) -> Level:
    """The level from which a pattern in a plane is offered to a client with that equipment."""
    possible = (one for one in SHARED if equipment.issuperset(one.exercise.equipment))
    kind = (pattern, plane)
    levels = [one.level for one in possible if (one.exercise.pattern, one.exercise.plane) == kind]
    return min(levels, key=list(Level).index)


def joint_of(action: JointAction) -> str:
    """Shoulder and shoulder blade are one complex; every other joint is its own."""
    return {"scapular": "shoulder"}.get(action.split()[0], action.split()[0])


def test_the_library_is_wide_enough_to_write_blocks_from():
    counts = Counter(one.pattern for one in EXERCISES)

    assert len(EXERCISES) >= 130
    assert set(counts) == set(Pattern)
    assert min(counts.values()) >= 20


def tells_all(one: SharedExercise) -> bool:
    well_put = all(cue[0].isupper() and cue.endswith(".") and len(cue) <= 80 for cue in one.cues)
    return (
        2 <= len(one.cues) <= 3
        and well_put
        and bool(one.exercise.joint_actions)
        and any(share.is_direct for share in one.exercise.muscles)
        and {share.share for share in one.exercise.muscles} <= {1.0, 0.5}
        and Tempo.parse(one.tempo).seconds_per_rep >= 1
    )


def test_an_exercise_tells_everything_a_coach_needs():
    assert [one.exercise.key for one in SHARED if not tells_all(one)] == []


def test_a_main_mover_moves_something_of_its_own():
    idle = [
        (one.key, share.muscle)
        for one in EXERCISES
        for share in one.muscles
        if share.is_direct and not MOVES[share.muscle] & set(one.joint_actions)
    ]

    assert idle == []


def test_a_second_of_a_hold_counts_as_one_second_under_tension():
    still = {one.exercise.key for one in SHARED if Tempo.parse(one.tempo) == Tempo(0, 1, 0, 0)}
    holds = {one.key for one in EXERCISES if one.measure is Measure.SECONDS}

    assert still == holds
    assert len(holds) >= 20


def test_only_compound_pushes_and_pulls_have_a_plane():
    with_plane = {one.key for one in EXERCISES if one.plane is not Plane.NONE}
    limb_work = [one for one in EXERCISES if one.pattern in {Pattern.PUSH, Pattern.PULL}]

    assert with_plane == {one.key for one in limb_work if one.multi_joint}


def test_a_single_joint_exercise_moves_one_joint():
    several = [
        one.key
        for one in EXERCISES
        if not one.multi_joint
        and (len({joint_of(a) for a in one.joint_actions}) > 1 or len(one.joint_actions) > 3)
    ]

    assert several == []


def share_fits(one: Exercise) -> bool:
    if one.load_kind is LoadKind.EXTERNAL:
        return one.body_share == 0
    if one.load_kind is not LoadKind.NONE or one.chain is Chain.CLOSED:
        return one.body_share > 0
    return one.body_share <= 0.6


def test_the_share_of_body_weight_fits_what_the_load_means():
    assert [one.key for one in EXERCISES if not share_fits(one)] == []


def test_hands_flat_under_load_are_told_to_clients_with_sore_wrists():
    flat = [
        one
        for one in EXERCISES
        if one.pattern is Pattern.PUSH
        and one.chain is Chain.CLOSED
        and {E.BOX, E.BENCH}.issuperset(one.equipment)
        and not one.key.startswith(("wall-push", "wall-triceps"))
    ]

    assert len(flat) >= 15
    assert [one.key for one in flat if JointStress.WRIST_EXTENSION not in one.joint_stresses] == []


def test_hanging_and_pressing_overhead_are_told_to_clients_with_sore_shoulders():
    overhead = [
        one
        for one in EXERCISES
        if (one.pattern, one.plane) == (Pattern.PULL, Plane.VERTICAL)
        or (one.plane is Plane.VERTICAL and A.SCAPULAR_ELEVATION in one.joint_actions)
    ]

    assert len(overhead) >= 30
    assert [o.key for o in overhead if JointStress.SHOULDER_OVERHEAD not in o.joint_stresses] == []


def test_push_up_shares_lie_between_the_published_values():
    # Arms straight to lowered, static. Mier CM et al. 2014, Int J Exerc Sci 7(2):161-168: women
    # 65.1 % up, men 74.6 % down; on the knees women 51.5 % up, men 60.1 % down.
    # Gouvali MK, Boudolos K 2005, J Strength Cond Res 19(1):146-151: 66.4 %, knees 52.9 %.
    # Ebben WP et al. 2011, J Strength Cond Res 25(10):2891-2894: 64 %, knees 49 % (secondary text).
    published = {
        "push-up": (0.64, 0.651, 0.664, 0.746),
        "knee-push-up": (0.49, 0.515, 0.529, 0.601),
    }

    for key, values in published.items():
        assert min(values) <= BY_KEY[key].body_share <= max(values)


def test_raised_push_ups_keep_the_published_order():
    # Ebben WP et al. 2011, J Strength Cond Res 25(10):2891-2894, boxes of 30.48 and 60.96 cm: 0.41,
    # 0.49, 0.55, 0.64, 0.70, 0.74 (secondary texts). How far each is off stands in
    # tests/rules/test_bodyweight_load.py, where like is set beside like.
    in_order = (
        "high-incline-push-up",
        "knee-push-up",
        "incline-push-up",
        "push-up",
        "decline-push-up",
        "high-decline-push-up",
    )

    ours = [BY_KEY[key].body_share for key in in_order]

    assert ours == sorted(set(ours))


POSED = [one for one in EXERCISES if one.posture is not None]


@pytest.mark.parametrize("exercise", POSED, ids=lambda one: one.key)
def test_a_posed_exercise_has_the_share_of_an_average_body(exercise: Exercise):
    average = Body(68, 1.72, Sex.UNSTATED)

    assert fitted(exercise, average).body_share == pytest.approx(exercise.body_share, abs=0.015)


def test_leg_shares_follow_from_the_masses_of_the_body_segments():
    # de Leva P 1996, J Biomech 29:1223-1230, men, % of body mass: head 6.94, trunk 43.46, upper
    # arm 2.71, forearm 1.62, hand 0.61, thigh 14.16, shank 4.33, foot 1.37.
    arms, legs = 2 * (2.71 + 1.62 + 0.61), 2 * (14.16 + 4.33 + 1.37)
    above = {
        "squat": 100 - 2 * (4.33 + 1.37),
        "calf-raise": 100 - 2 * 1.37,
        "pistol-squat": 100 - (4.33 + 1.37),
        "hip-hinge": 6.94 + 43.46 + arms,
        "hanging-leg-raise": legs,
        "prone-y-raise": arms,
    }

    for key, percent in above.items():
        assert BY_KEY[key].body_share == pytest.approx(percent / 100, abs=0.01)


@pytest.mark.parametrize("key", ["dip", "pull-up", "chin-up", "ring-dip", "wall-handstand-push-up"])
def test_hands_that_hold_the_body_alone_hold_all_of_it(key: str):
    # Statics: no other contact with the ground, no other force.
    assert BY_KEY[key].body_share == 1


def rungs_of(ladder: Ladder) -> list[SharedExercise]:
    found = [one for one in SHARED if one.exercise.ladder == ladder.key]
    return sorted(found, key=lambda one: one.exercise.rung)


@pytest.mark.parametrize("ladder", LADDERS, ids=lambda ladder: ladder.key)
def test_a_ladder_climbs_without_gaps(ladder: Ladder):
    rungs = rungs_of(ladder)

    complexities = [one.exercise.complexity for one in rungs]

    assert [one.exercise.rung for one in rungs] == list(range(1, len(rungs) + 1))
    assert len(rungs) >= 5
    assert complexities[-1] > complexities[0]
    assert all(higher >= lower - 1 for lower, higher in pairwise(complexities))


@pytest.mark.parametrize("ladder", LADDERS, ids=lambda ladder: ladder.key)
def test_a_higher_rung_is_never_offered_to_an_earlier_level(ladder: Ladder):
    levels = [list(Level).index(one.level) for one in rungs_of(ladder)]

    assert levels == sorted(levels)


@pytest.mark.parametrize("muscle", Muscle)
@pytest.mark.parametrize("name", EQUIPMENT_SETS)
def test_every_muscle_is_trained_directly_whatever_the_equipment(name: str, muscle: Muscle):
    trained = {
        share.muscle
        for one in possible_with(EQUIPMENT_SETS[name])
        for share in one.muscles
        if share.is_direct
    }

    assert muscle in trained


@pytest.mark.parametrize("name", [name for name in EQUIPMENT_SETS if name != "floor only"])
def test_equipment_adds_pushes_and_pulls_of_its_own(name: str):
    more = [one for one in possible_with(EQUIPMENT_SETS[name]) if one.equipment]

    assert sum(one.pattern is Pattern.PUSH for one in more) >= 4
    assert sum(one.pattern is Pattern.PULL for one in more) >= 8


@pytest.mark.parametrize("plane", Plane)
@pytest.mark.parametrize("name", EQUIPMENT_SETS)
def test_a_push_finds_a_pull_of_its_plane_at_its_level(name: str, plane: Plane):
    equipment = EQUIPMENT_SETS[name]

    pushing = earliest(equipment, Pattern.PUSH, plane)
    pulling = earliest(equipment, Pattern.PULL, plane)

    assert pushing == pulling == Level.ABSOLUTE_BEGINNER


@pytest.mark.parametrize(("one", "other"), OPPOSITES)
@pytest.mark.parametrize("name", EQUIPMENT_SETS)
def test_opposed_joint_actions_can_both_be_trained(name: str, one: JointAction, other: JointAction):
    trained = {
        action
        for exercise in possible_with(EQUIPMENT_SETS[name])
        for action in exercise.joint_actions
    }

    assert {one, other} <= trained


def test_every_kind_of_joint_action_and_equipment_word_is_ever_used():
    actions = {action for one in EXERCISES for action in one.joint_actions}
    equipment = {kind for one in EXERCISES for kind in one.equipment}

    assert actions == set(JointAction)
    # Belt and vest carry a load on exercises that exist without them.
    assert equipment == set(EquipmentKind) - {E.BELT, E.VEST}


def test_a_head_down_exercise_carries_a_caution():
    upside_down = [
        one
        for one in SHARED
        if one.exercise.plane is Plane.VERTICAL and "handstand" in one.exercise.name.lower()
    ]

    assert len(upside_down) >= 6
    assert all("high blood pressure" in one.caution for one in upside_down)
