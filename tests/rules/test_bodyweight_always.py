"""What must hold of every body and every height, whatever the numbers are."""

from cmath import rect
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.body import Body, Sex
from coaching.rules.bodyweight_load import body_load
from coaching.rules.bodyweight_pike_row import pike_push_up
from coaching.rules.bodyweight_push_up import leaning_pose, push_up, wall_push_up
from coaching.rules.bodyweight_scales import BodyLoad, Setting
from coaching.rules.bodyweight_statics import Pose
from coaching.rules.plan import Posture

sexes = st.sampled_from(Sex)
bodies = st.builds(
    lambda stature, index, sex: Body(index * stature**2, stature, sex),
    st.floats(1.45, 2.05),
    st.floats(18, 29),
    sexes,
)
rises = st.floats(-0.5, 0.5)


def poses(sex: Sex, rise: float) -> list[Pose]:
    found = push_up(Body(70, 1.7, sex).proportions, rise)
    assert found is not None
    return [found.top, found.halfway, found.deep]


def moment_about(point: complex, pose: Pose) -> float:
    """Sum of the moments of both supports and of the weight about a point."""

    def turning(at: complex, force: complex) -> float:
        return ((at - point).conjugate() * force).imag

    supports = turning(pose.hands, pose.hand_force) + turning(pose.feet, pose.foot_force)
    return supports + turning(pose.centre, -1j * pose.weight)


@given(sexes, rises, st.floats(-3, 3), st.floats(-3, 3))
def test_forces_balance_and_turn_nothing_about_any_point(sex, rise, x, y):
    for pose in poses(sex, rise):
        assert abs(pose.hand_force + pose.foot_force - 1j * pose.weight) < 1e-9
        assert abs(moment_about(complex(x, y), pose)) < 1e-9


@given(sexes)
def test_the_floor_force_is_the_work_of_raising_the_hands(sex):
    # Virtual work, the textbook way to the same force: turn the rigid body a little about the
    # toes; the force does the work that lifts the centre of mass.
    for pose in poses(sex, 0):
        turn = rect(1, 1e-6)
        lifted = (pose.centre * turn - pose.centre).imag
        raised = (pose.hands * turn - pose.hands).imag
        assert pose.hand_force.imag == pytest.approx(lifted / raised, abs=1e-5)


@given(bodies, st.floats(0.8, 1.25), st.floats(0, 80))
def test_twice_the_body_on_twice_the_box_is_loaded_the_same(body, scale, height):
    stature = min(max(body.stature_m * scale, 1.40), 2.10)
    scale = stature / body.stature_m
    larger = Body(body.mass_kg * scale**2, stature, body.sex)
    one = body_load(Posture.PUSH_UP, body, Setting(hands_cm=height))
    other = body_load(Posture.PUSH_UP, larger, Setting(hands_cm=height * scale))
    if isinstance(one, BodyLoad) and isinstance(other, BodyLoad):
        assert one.share == pytest.approx(other.share, abs=1e-9)
        assert one.value / body.mass_kg == pytest.approx(other.value / larger.mass_kg, abs=1e-9)


@given(bodies, st.floats(1.05, 1.3))
def test_kilograms_go_with_mass_and_moments_with_mass_and_stature(body, heavier):
    other = Body(body.mass_kg * heavier, body.stature_m, body.sex)
    if other.not_modelled():
        other = Body(body.mass_kg / heavier, body.stature_m, body.sex)
    if other.not_modelled():
        return
    for posture in (Posture.PUSH_UP, Posture.HANDS_ONLY, Posture.TUCK_LEVER, Posture.L_SIT):
        one, two = (body_load(posture, each, Setting()) for each in (body, other))
        assert isinstance(one, BodyLoad)
        assert isinstance(two, BodyLoad)
        assert two.value / one.value == pytest.approx(other.mass_kg / body.mass_kg)


@given(sexes, st.floats(-0.55, 0.5), st.floats(0.01, 0.1))
def test_the_load_falls_as_the_hands_rise_and_grows_as_the_feet_rise(sex, rise, more):
    # On straight arms: low down the direction of the load tilts and the order may break.
    lower, higher = poses(sex, rise)[0], poses(sex, rise + more)[0]
    assert lower.hand_force.imag > higher.hand_force.imag


@given(sexes)
def test_knees_carry_less_than_toes_and_low_more_than_high(sex):
    body = Body(70, 1.7, sex).proportions
    toes, knees = push_up(body, 0), push_up(body, 0, on_knees=True)
    assert toes
    assert knees
    assert knees.top.hand_force.imag < toes.top.hand_force.imag < toes.halfway.hand_force.imag
    assert knees.top.hand_force.imag < knees.halfway.hand_force.imag


@given(sexes, st.floats(45, 89), st.floats(0.5, 5))
def test_against_a_wall_the_load_falls_to_nothing_and_never_below(sex, lean, more):
    body = Body(70, 1.7, sex).proportions
    steeper = wall_push_up(body, min(90, lean + more))
    assert 0 <= steeper <= wall_push_up(body, lean) <= 1
    assert wall_push_up(body, 90) == pytest.approx(0, abs=0.02)


@given(bodies, st.floats(0, 40))
def test_nothing_but_the_hands_is_exactly_the_body_and_what_hangs_on_it(body, added):
    found = body_load(Posture.HANDS_ONLY, body, Setting(added_kg=added))
    assert isinstance(found, BodyLoad)
    assert isclose(found.value, body.mass_kg + added)
    assert found.low == found.value == found.high


@given(sexes, st.floats(0.0, 0.45), st.floats(0.01, 0.05))
def test_a_pike_grows_toward_the_handstand_and_never_above(sex, raised, more):
    body = Body(70, 1.7, sex).proportions
    lower, higher = pike_push_up(body, -raised), pike_push_up(body, -raised - more)
    assert lower
    assert higher
    assert abs(lower.hand_force) < abs(higher.hand_force) <= 1


@given(sexes, st.floats(0, 0.15), st.floats(0.005, 0.03))
def test_leaning_further_forward_loads_the_hands_more(sex, lead, more):
    body = Body(70, 1.7, sex).proportions
    one, other = leaning_pose(body, lead), leaning_pose(body, lead + more)
    assert one
    assert other
    assert one.hand_force.imag < other.hand_force.imag < 1


@given(bodies, st.sampled_from(Posture), st.floats(0, 140), st.floats(0, 60), st.floats(0, 40))
def test_an_answer_is_always_in_its_range_and_a_refusal_always_says_why(
    body, posture, hands, feet, added
):
    found = body_load(posture, body, Setting(hands_cm=hands, feet_cm=feet, added_kg=added))
    if isinstance(found, BodyLoad):
        assert 0 <= found.low <= found.value <= found.high
        assert found.share is None or 0 <= found.share <= 1
    else:
        assert len(found.reason) > 20


@given(sexes, st.floats(0, 1))
def test_a_load_is_felt_by_where_it_sits(sex, down):
    # At the hands' line all of it, at the toes nothing, at the body's own centre as the body.
    pose = poses(sex, 0)[0]

    def felt(at: complex) -> float:
        along = (at - pose.shoulder) / (pose.hip - pose.shoulder)
        loaded = pose.loaded(0.1, along.real)
        return (loaded.hand_force.imag - pose.hand_force.imag) / 0.1

    at = pose.shoulder + (pose.hip - pose.shoulder) * down
    assert felt(at) == pytest.approx(at.real / pose.hands.real, abs=1e-9)
