from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.balance import (
    OPPOSED_ACTIONS,
    Balance,
    is_even,
    logged_balance,
    planned_session_balance,
    planned_week_balance,
)
from coaching.rules.plan import (
    Exercise,
    JointAction,
    Measure,
    Part,
    Pattern,
    Plane,
    PlannedSession,
)
from tests.rules.examples import (
    make_exercise,
    make_logged_session,
    make_prescription,
    make_pull_up,
    make_session,
    make_sets,
    make_week,
)

PUSH_UP = make_exercise(joint_actions=[JointAction.ELBOW_EXTENSION])
PULL_UP = make_pull_up(joint_actions=[JointAction.ELBOW_FLEXION])
ROW = make_exercise("row", Pattern.PULL)
SQUAT = make_exercise("squat", Pattern.LEGS, plane=Plane.NONE)
ROTATION = make_exercise(
    "rotation",
    Pattern.PREHAB,
    plane=Plane.NONE,
    joint_actions=[JointAction.SHOULDER_EXTERNAL_ROTATION],
)


def test_a_primary_pair_is_one_to_one() -> None:
    # Common practice, no source: push and pull are paired 1:1 in every session.
    pair = (make_prescription(PUSH_UP, [7] * 5), make_prescription(PULL_UP, [5] * 5))

    balance = planned_session_balance(make_session(pair))

    assert (balance.push_sets, balance.pull_sets, balance.ratio) == (5, 5, 1)
    assert (balance.push_reps, balance.pull_reps) == (35, 25)
    assert is_even(balance)


def test_legs_core_prehab_and_warm_up_are_on_neither_side() -> None:
    session = make_session(
        make_prescription(PUSH_UP, [10], part=Part.WARM_UP),
        make_prescription(SQUAT, [8] * 5),
        make_prescription(make_exercise("crunch", Pattern.CORE), [15] * 3),
        make_prescription(ROTATION, [8] * 4, part=Part.PREHAB),
    )

    balance = planned_session_balance(session)

    assert (balance.push_sets, balance.pull_sets) == (0, 0)
    assert (balance.ratio, balance.push_reps, balance.by_plane) == (None, 0, ())
    assert is_even(balance)


def test_an_even_session_can_lean_in_each_plane() -> None:
    session = make_session((make_prescription(PUSH_UP), make_prescription(PULL_UP)))

    horizontal, vertical = planned_session_balance(session).by_plane

    assert (horizontal.plane, horizontal.push_sets, horizontal.pull_sets) == (
        Plane.HORIZONTAL,
        5,
        0,
    )
    assert (vertical.plane, vertical.push_sets, vertical.pull_sets) == (Plane.VERTICAL, 0, 5)
    assert not is_even(horizontal)
    assert not is_even(vertical)


def test_prehab_counts_when_rotation_is_set_against_rotation() -> None:
    inward = make_exercise("press", joint_actions=[JointAction.SHOULDER_INTERNAL_ROTATION])
    session = make_session(
        make_prescription(inward, [8] * 3), make_prescription(ROTATION, [8] * 4, part=Part.PREHAB)
    )

    (rotation,) = planned_session_balance(session).by_action

    assert rotation.push_action is JointAction.SHOULDER_INTERNAL_ROTATION
    assert (rotation.push_sets, rotation.pull_sets) == (3, 4)
    assert (rotation.push_reps, rotation.pull_reps) == (24, 32)


def test_a_hold_counts_sets_but_no_reps() -> None:
    hang = make_pull_up("hang", measure=Measure.SECONDS)

    balance = planned_session_balance(make_session(make_prescription(hang, [30, 30])))

    assert (balance.pull_sets, balance.pull_reps) == (2, 0)


def test_a_week_is_even_when_its_days_make_up_for_each_other() -> None:
    pushing = make_session(make_prescription(PUSH_UP, [7] * 5))
    pulling = make_session(make_prescription(ROW, [7] * 5))

    week = planned_week_balance(make_week(pushing, pulling))

    assert not is_even(planned_session_balance(pushing))
    assert is_even(week)


def test_a_log_is_weighed_by_what_was_done() -> None:
    done = make_logged_session(
        make_sets(PUSH_UP, [10], warm_up=True),
        make_sets(PUSH_UP, [7, 7, 7, 7, 7]),
        make_sets(PULL_UP, [5, 5, 4]),
    )

    balance = logged_balance([done])

    assert (balance.push_sets, balance.pull_sets) == (5, 3)
    assert not is_even(balance)


@pytest.mark.parametrize(("push", "pull", "even"), [(20, 18, True), (20, 17, False), (1, 0, False)])
def test_a_tenth_of_the_larger_side_is_still_even(push: int, pull: int, *, even: bool) -> None:
    # A house choice: no published norm for the balance of sets exists.
    balance = Balance(push, pull, 0, 0, by_plane=(), by_action=())

    assert is_even(balance) is even


def test_no_joint_action_stands_on_two_sides() -> None:
    listed = [action for pair in OPPOSED_ACTIONS for action in pair]

    assert len(listed) == len(set(listed))


moves = st.builds(
    make_exercise,
    pattern=st.sampled_from(Pattern),
    plane=st.sampled_from(Plane),
    joint_actions=st.lists(st.sampled_from(JointAction), unique=True, max_size=3),
)
work = st.lists(st.tuples(moves, st.lists(st.integers(1, 20), min_size=1, max_size=6)), max_size=6)


def _mirror(exercise: Exercise) -> Exercise:
    other = {Pattern.PUSH: Pattern.PULL, Pattern.PULL: Pattern.PUSH}
    opposite = {a: b for pair in OPPOSED_ACTIONS for a, b in (pair, pair[::-1])}
    return replace(
        exercise,
        pattern=other.get(exercise.pattern, exercise.pattern),
        joint_actions=tuple(opposite.get(action, action) for action in exercise.joint_actions),
    )


def _session(done: list[tuple[Exercise, list[int]]]) -> PlannedSession:
    return make_session(*[make_prescription(exercise, sets) for exercise, sets in done])


@given(work)
def test_exchanging_push_and_pull_mirrors_the_balance(
    done: list[tuple[Exercise, list[int]]],
) -> None:
    balance = planned_session_balance(_session(done))

    mirrored = planned_session_balance(_session([(_mirror(one), sets) for one, sets in done]))

    assert (mirrored.push_sets, mirrored.pull_sets) == (balance.pull_sets, balance.push_sets)
    assert (mirrored.push_reps, mirrored.pull_reps) == (balance.pull_reps, balance.push_reps)
    assert is_even(mirrored) is is_even(balance)
    for one, other in zip(balance.by_action, mirrored.by_action, strict=True):
        assert (one.push_sets, one.pull_reps) == (other.pull_sets, other.push_reps)


@given(work)
def test_planes_add_up_to_the_whole(done: list[tuple[Exercise, list[int]]]) -> None:
    balance = planned_session_balance(_session(done))

    assert sum(one.push_sets for one in balance.by_plane) == balance.push_sets
    assert sum(one.pull_reps for one in balance.by_plane) == balance.pull_reps
