"""Which exercise may stand in for another. Worked cases are common practice, no source."""

from datetime import date
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.joint_limits import JointLimit, LimitAction, LimitOverride, blocked_by
from coaching.rules.loads import can_do
from coaching.rules.plan import EquipmentKind, JointStress, Level, Measure
from coaching.rules.stand_in import Known, is_hold, is_jump, is_skill, stand_ins

CATALOGUE = read_shared_catalogue()
LIBRARY = {one.exercise.key: one.exercise for one in CATALOGUE}
LEVELS = {one.exercise.key: list(Level).index(one.level) for one in CATALOGUE}
ALL = frozenset(EquipmentKind)
HOME = frozenset(
    {EquipmentKind.RINGS, EquipmentKind.PULL_UP_BAR, EquipmentKind.BOX, EquipmentKind.BANDS}
)
KNEE, IMPACT = JointStress.KNEE_DEEP_FLEXION, JointStress.KNEE_IMPACT
OVERHEAD, WRIST = JointStress.SHOULDER_OVERHEAD, JointStress.WRIST_EXTENSION
BACK = JointStress.LOWER_BACK_COMPRESSION
STRICT = (LimitAction.AVOID, LimitAction.REGRESS)
SHOULDER = {
    OVERHEAD,
    JointStress.SHOULDER_DEEP_EXTENSION,
    JointStress.SHOULDER_STRAIGHT_ARM,
}


@cache
def found(key, kinds=ALL, limits=(), level=2, done=frozenset()):
    """The keys of what may stand in, for a client of a level."""
    candidates = [LIBRARY[one] for one, at in LEVELS.items() if at <= level]
    known = Known(done, LEVELS, level)
    return tuple(one.key for one in stand_ins(LIBRARY[key], candidates, limits, kinds, (), known))


def avoid(stress):
    return (JointLimit(stress, LimitAction.AVOID),)


def regress(stress):
    return (JointLimit(stress, LimitAction.REGRESS),)


@pytest.mark.parametrize(
    ("asked", "limits", "kinds", "first"),
    [
        # A knee that may not bend deep: a box to sit down to, no jump, no hinge.
        ("goblet-squat", avoid(KNEE), ALL, "box-squat"),
        ("reverse-nordic", avoid(KNEE), ALL, "leg-extension"),
        ("rear-foot-raised-split-squat", avoid(KNEE), ALL, "step-up"),
        # Without a box nothing works the thighs on a knee that stays nearly straight.
        ("squat", avoid(KNEE), frozenset(), "hip-hinge"),
        ("jump-squat", avoid(KNEE), ALL, "box-squat"),
        # A shoulder that may not go overhead: pressing forward, rowing.
        ("dumbbell-overhead-press", avoid(OVERHEAD), ALL, "incline-dumbbell-press"),
        ("kneeling-pike-push-up", regress(OVERHEAD), ALL, "incline-dumbbell-press"),
        ("pike-push-up", regress(OVERHEAD), ALL, "kneeling-pike-push-up"),
        ("pull-up", avoid(OVERHEAD), HOME, "ring-row"),
        # A wrist that may not bend back: straight wrists, and no push against a wall for an archer.
        ("archer-push-up", avoid(WRIST), HOME, "ring-push-up"),
        # A back that may carry no load: one leg, or a machine.
        ("barbell-row", avoid(BACK), HOME, "ring-row"),
        ("barbell-back-squat", regress(BACK), ALL, "goblet-squat"),
    ],
)
def test_for_a_joints_sake_a_coach_takes(asked, limits, kinds, first):
    assert found(asked, kinds, limits)[0] == first


@pytest.mark.parametrize(
    ("asked", "gone", "first"),
    [
        ("romanian-deadlift", EquipmentKind.DUMBBELLS, "kettlebell-deadlift"),
        ("kettlebell-deadlift", EquipmentKind.KETTLEBELLS, "romanian-deadlift"),
        ("dumbbell-overhead-press", EquipmentKind.DUMBBELLS, "barbell-overhead-press"),
        ("kettlebell-press", EquipmentKind.KETTLEBELLS, "half-kneeling-press"),
        ("one-arm-dumbbell-row", EquipmentKind.DUMBBELLS, "kettlebell-row"),
        ("chest-supported-row", EquipmentKind.DUMBBELLS, "barbell-row"),
        ("goblet-squat", EquipmentKind.DUMBBELLS, "kettlebell-goblet-squat"),
        ("barbell-bench-press", EquipmentKind.BARBELL, "dumbbell-bench-press"),
        ("dumbbell-curl", EquipmentKind.DUMBBELLS, "barbell-curl"),
        ("lat-pulldown", EquipmentKind.CABLE, "band-pulldown"),
    ],
)
def test_where_equipment_went_a_load_is_chosen_before_an_easier_movement(asked, gone, first):
    assert found(asked, ALL - {gone})[0] == first


def test_no_hinge_takes_the_work_of_the_quadriceps_before_what_bends_the_knee():
    order = found("goblet-squat", HOME, avoid(KNEE))

    assert order.index("band-good-morning") > order.index("step-up")


def test_what_the_coach_allowed_by_name_is_searched_for_its_equipment_alone():
    limits = (JointLimit(JointStress.ELBOW_PRESS, LimitAction.AVOID, key=7),)
    allowed = (
        LimitOverride("dumbbell-bench-press", frozenset({7}), "Ana", date(2026, 11, 3), "ok"),
    )
    asked, kinds = LIBRARY["dumbbell-bench-press"], ALL - {EquipmentKind.DUMBBELLS}
    candidates = [
        one for one in LIBRARY.values() if JointStress.ELBOW_PRESS not in one.joint_stresses
    ]

    for_equipment = stand_ins(asked, candidates, limits, kinds, allowed)

    assert for_equipment == stand_ins(asked, candidates, (), kinds)
    assert for_equipment != stand_ins(asked, candidates, limits, kinds)


@pytest.mark.parametrize("kinds", [ALL, HOME, frozenset()])
@pytest.mark.parametrize("is_one", [is_jump, is_skill, is_hold])
def test_no_jump_skill_or_hold_of_the_arms_stands_in_for_what_is_none(is_one, kinds):
    work = [key for key, one in LIBRARY.items() if not is_one(one)]

    assert not [
        (key, one)
        for key in work
        for one in found(key, kinds, (), max(2, LEVELS[key]))
        if is_one(LIBRARY[one])
    ]


def test_repetitions_of_the_limbs_become_a_hold_only_where_nothing_else_is_left():
    assert "wall-sit" not in found("goblet-squat", frozenset())
    assert {"plank", "long-lever-plank"} & set(found("ring-rollout", frozenset()))
    only = stand_ins(LIBRARY["squat"], [LIBRARY["wall-sit"]], (), frozenset())
    assert [one.key for one in only] == ["wall-sit"]


def test_a_jump_bends_the_knee_when_it_lands():
    assert KNEE in LIBRARY["jump-squat"].joint_stresses


def test_what_was_done_before_comes_first_of_two_alike():
    for key in ("reverse-lunge", "lateral-lunge"):
        assert found("goblet-squat", frozenset(), level=0, done=frozenset({key}))[0] == key


@pytest.mark.parametrize("action", STRICT)
@pytest.mark.parametrize("stress", JointStress)
def test_what_is_offered_for_a_joint_loads_it_no_more_and_is_no_skill(stress, action):
    limits = (JointLimit(stress, action),)
    for asked in LIBRARY.values():
        if stress not in asked.joint_stresses:
            continue
        for kinds in (ALL, HOME, frozenset()):
            for key in found(asked.key, kinds, limits, max(2, LEVELS[asked.key])):
                one = LIBRARY[key]
                anew = set(one.joint_stresses) - set(asked.joint_stresses)
                joint = SHOULDER if stress in SHOULDER else {stress}
                joint = {KNEE, IMPACT} if stress in {KNEE, IMPACT} else joint
                assert joint.isdisjoint(anew), (asked.key, key)
                assert is_jump(asked) or not is_jump(one), (asked.key, key)
                assert is_skill(asked) or not is_skill(one), (asked.key, key)
                assert is_hold(asked) or not is_hold(one), (asked.key, key)


@pytest.mark.parametrize(
    ("key", "is_one"),
    [
        *((key, True) for key in ("inverted-hang", "skin-the-cat", "frog-stand", "german-hang")),
        *((key, True) for key in ("tuck-front-lever-row", "bar-muscle-up", "planche-lean")),
        *((key, False) for key in ("pull-up", "dip", "ring-row", "pike-push-up", "dead-hang")),
    ],
)
def test_a_skill_is_told_from_work(key, is_one):
    assert is_skill(LIBRARY[key]) is is_one


limits_of = st.lists(
    st.builds(JointLimit, st.sampled_from(JointStress), st.sampled_from(LimitAction)), max_size=4
)


@settings(max_examples=60, deadline=None)
@given(
    asked=st.sampled_from(sorted(LIBRARY)),
    limits=limits_of,
    kinds=st.frozensets(st.sampled_from(EquipmentKind)),
    order=st.randoms(use_true_random=False),
)
def test_nothing_forbidden_is_offered_and_the_order_of_the_library_is_no_matter(
    asked, limits, kinds, order
):
    candidates = list(LIBRARY.values())
    first = stand_ins(LIBRARY[asked], candidates, limits, kinds)
    order.shuffle(candidates)

    assert stand_ins(LIBRARY[asked], candidates, limits, kinds) == first
    assert all(can_do(one, kinds) and not blocked_by(one, limits) for one in first)
    assert LIBRARY[asked] not in first


def test_repetitions_are_replaced_by_repetitions():
    for asked in ("push-up", "ring-row", "goblet-squat", "romanian-deadlift", "dip"):
        assert LIBRARY[found(asked, HOME)[0]].measure is Measure.REPS
