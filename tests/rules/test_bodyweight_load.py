"""Loads of bodyweight exercises beside published forces, and the answers around them.

The tolerances are those that the studies allow: they disagree with each other by up to 5
points of body weight, and moving the hands by 5 cm is worth 2 to 3.
"""

from itertools import pairwise

import pytest

from coaching.rules.body import Body, Sex, proportions_of
from coaching.rules.bodyweight_load import body_load, fitted
from coaching.rules.bodyweight_scales import (
    Basis,
    BodyLoad,
    Scale,
    Seat,
    Setting,
    arms_length_kg,
)
from coaching.rules.findings import NoAnswer
from coaching.rules.plan import LoadKind, Posture
from coaching.rules.volume import system_load
from tests.rules.examples import make_exercise
from tests.rules.published_loads import EBBEN, KNOWN_MISS, MAN, STATIC, WOMAN, Published

LEVERS = (
    Posture.TUCK_LEVER,
    Posture.ADVANCED_TUCK_LEVER,
    Posture.ONE_LEG_LEVER,
    Posture.STRADDLE_LEVER,
    Posture.HALF_LAY_LEVER,
    Posture.FULL_LEVER,
)


def load(posture: Posture, body: Body = MAN, **setting: object) -> BodyLoad:
    found = body_load(posture, body, Setting(**setting))  # type: ignore[arg-type] # by name
    assert isinstance(found, BodyLoad)
    return found


def refusal(posture: Posture, body: Body = MAN, **setting: object) -> str:
    found = body_load(posture, body, Setting(**setting))  # type: ignore[arg-type] # by name
    assert isinstance(found, NoAnswer)
    return found.reason


@pytest.mark.parametrize("one", EBBEN, ids=lambda one: one.name)
def test_push_ups_agree_with_ebben(one: Published):
    raised = bool(one.hands_cm or one.feet_cm)
    assert abs(one.error) <= (6 if raised else 5)


def test_over_ebbens_six_variants_the_mean_error_is_small_and_the_order_exact():
    assert sum(abs(one.error) for one in EBBEN) / len(EBBEN) <= 3.5
    in_order = sorted(EBBEN, key=lambda one: one.computed)
    assert [one.name for one in in_order] == [one.name for one in EBBEN]


@pytest.mark.parametrize("one", STATIC, ids=lambda one: f"{one.study} {one.who} {one.name}")
def test_push_ups_agree_with_static_measurements(one: Published):
    assert abs(one.error) <= (6 if one.on_knees and one.down else 5)


def test_women_low_on_the_knees_are_a_known_miss():
    # The model over-predicts here and nobody knows why; depth explains about one point.
    assert 6 < KNOWN_MISS.error < 8


def test_taller_clients_push_more_off_a_high_box_and_the_same_off_the_floor():
    # Ebben 2011: stature mattered with the hands on 60.96 cm only (r = 0.63).
    short, tall = Body(75, 1.68, Sex.MALE), Body(75, 1.88, Sex.MALE)

    def shares(**setting: object) -> list[float]:
        found = [load(Posture.PUSH_UP, body, **setting).share for body in (short, tall)]
        return [share for share in found if share is not None]

    flat, box = shares(), shares(hands_cm=60.96)
    assert flat[0] == pytest.approx(flat[1], abs=1e-9)
    assert box[1] - box[0] > 0.02


def test_segment_masses_add_up_to_the_published_totals():
    # de Leva 1996: 100.00 % in men, 99.99 % in women before they are made to add up.
    for sex in Sex:
        body = proportions_of(sex)
        parts = (body.head, body.trunk, body.upper_arm, body.forearm)
        rest = (body.hand, body.thigh, body.shank, body.foot)
        assert sum(part.mass for part in (*parts, *rest)) == pytest.approx(1)


def test_an_unstated_sex_lies_between_the_two_tables():
    unstated = Body(70, 1.72, Sex.UNSTATED)
    shares = [load(Posture.PUSH_UP, Body(70, 1.72, sex), hands_cm=60).share or 0 for sex in Sex]
    assert min(shares) < (load(Posture.PUSH_UP, unstated, hands_cm=60).share or 0) < max(shares)


def test_the_rungs_of_a_lever_follow_each_other_and_the_full_one_is_about_half_again_the_tuck():
    for body in (MAN, WOMAN):
        moments = [load(posture, body).value for posture in LEVERS]
        assert all(easier < harder for easier, harder in pairwise(moments))
        assert 0.55 < moments[0] / moments[-1] < 0.70


def test_a_full_lever_by_hand():
    # The sum written out with de Leva's numbers for a man of 75 kg and 1.78 m: each segment's
    # share of the mass times how far its centre lies from the shoulders, in statures.
    by_hand = (
        0.0694 * -0.1202
        + 0.4346 * 0.4310 * 0.2961
        + 0.2832 * (0.2961 + 0.4095 * 0.2425)
        + 0.0866 * (0.2961 + 0.2425 + 0.4395 * 0.2493)
        + 0.0274 * (0.2961 + 0.2425 + 0.2493 + (0.4415 - 0.25) * 0.1482)
    )
    assert load(Posture.FULL_LEVER).value == pytest.approx(by_hand * 75 * 1.78 * 9.80665, rel=1e-3)


def test_an_l_sit_by_hand():
    by_hand = (
        0.2832 * 0.4095 * 0.2425
        + 0.0866 * (0.2425 + 0.4395 * 0.2493)
        + 0.0274 * (0.2425 + 0.2493 + (0.4415 - 0.25) * 0.1482)
    )
    assert load(Posture.L_SIT).value == pytest.approx(by_hand * 75 * 1.78 * 9.80665, rel=1e-3)


def test_a_moment_is_told_as_kilograms_at_arms_length():
    moment = load(Posture.FULL_LEVER).value
    arm = (0.1618 + 0.1545 + 0.020) * 1.78
    assert arms_length_kg(moment, MAN) == pytest.approx(moment / 9.80665 / arm)


def test_scales_and_confidence_are_told():
    assert load(Posture.PUSH_UP).scale is Scale.HANDS
    assert load(Posture.PUSH_UP).basis is Basis.MEASURED
    assert load(Posture.KNEE_PUSH_UP).basis is Basis.STATICS
    assert load(Posture.PUSH_UP, hands_cm=90).basis is Basis.STATICS
    assert load(Posture.ROW, hands_cm=90).basis is Basis.ROUGH
    assert load(Posture.TUCK_LEVER).scale is Scale.SHOULDERS
    assert load(Posture.L_SIT).scale is Scale.HIPS


def test_a_vest_is_felt_for_most_of_its_weight_and_a_belt_for_less():
    plain, vest = load(Posture.PUSH_UP), load(Posture.PUSH_UP, added_kg=10)
    belt = load(Posture.PUSH_UP, added_kg=10, seat=Seat.HIPS)
    shoulders = load(Posture.PUSH_UP, added_kg=10, seat=Seat.SHOULDERS)
    assert plain.value < belt.value < vest.value < shoulders.value
    assert vest.value - plain.value == pytest.approx(10 * vest.added_share)
    # A load above the hands would be felt in full, one at the toes not at all.
    assert 0.5 < belt.added_share < vest.added_share < shoulders.added_share <= 1.05


def test_a_row_says_how_the_body_hangs():
    assert "body at" in load(Posture.ROW, hands_cm=100).meaning
    assert "feet higher" in load(Posture.ROW, hands_cm=90, feet_cm=60).meaning


def test_help_is_taken_off_and_added_load_counts_in_full_on_the_hands_alone():
    assert load(Posture.HANDS_ONLY, added_kg=20).value == 95
    assert load(Posture.HANDS_ONLY, help_kg=25).value == 50
    assert load(Posture.HANDS_ONLY, help_kg=100).value == 0


def test_one_arm_is_told_as_two():
    assert load(Posture.ONE_ARM_PUSH_UP).value == pytest.approx(2 * load(Posture.PUSH_UP).value)
    archer = load(Posture.ARCHER_PUSH_UP)
    assert load(Posture.PUSH_UP).value < archer.low < archer.high
    assert archer.high < load(Posture.ONE_ARM_PUSH_UP).value


def test_out_of_range_there_is_no_answer_and_the_reason_is_told():
    assert "steep" in refusal(Posture.PUSH_UP, hands_cm=120)
    assert "heights" in refusal(Posture.ROW, hands_cm=250)
    assert "angle of the legs" in refusal(Posture.V_SIT)
    assert "45 to 90" in refusal(Posture.WALL_PUSH_UP, lean=20)
    assert "feet would leave" in refusal(Posture.PLANCHE_LEAN, lean=58)
    assert "0 or more" in refusal(Posture.HANDS_ONLY, added_kg=-5)
    assert "on the floor only" in refusal(Posture.KNEE_PUSH_UP, feet_cm=30)
    assert "young, lean-to-normal adults" in refusal(Posture.PUSH_UP, Body(140, 1.70, Sex.MALE))
    assert "1.20 m" in refusal(Posture.PUSH_UP, Body(30, 1.20, Sex.FEMALE))


def test_an_exercise_is_fitted_to_a_body_and_left_alone_without_one():
    incline = make_exercise(body_share=0.47, posture=Posture.PUSH_UP, hands_cm=60)
    plain = make_exercise(body_share=0.47)
    tall = Body(75, 1.88, Sex.MALE)

    assert fitted(incline, None) is incline
    assert fitted(plain, MAN) is plain
    assert fitted(incline, WOMAN).body_share < fitted(incline, tall).body_share


def test_volume_load_counts_what_the_hands_feel_of_a_vest():
    exercise = fitted(make_exercise(posture=Posture.PUSH_UP, load_kind=LoadKind.ADDED), MAN)
    gained = system_load(exercise, 10, 75) - system_load(exercise, 0, 75)
    assert gained == pytest.approx(10 * exercise.added_share)
    assert gained < 9.5


def test_what_is_not_a_number_of_kilograms_has_no_share():
    sit = make_exercise(body_share=1.0, posture=Posture.L_SIT)
    assert fitted(sit, MAN) is sit


def test_a_hang_shifted_to_one_arm_lies_between_two_arms_and_one():
    shifted = load(Posture.SHIFTED_HANDS)
    assert shifted.basis is Basis.ROUGH
    assert load(Posture.HANDS_ONLY).value < shifted.low < shifted.high
    assert shifted.high < load(Posture.ONE_HAND_ONLY).value
