"""Estimates of strength against what was measured on people; what does not fit is written down.

The papers were read in their abstracts or texts unless a line says otherwise. A *known miss*
holds the size of the error: a better rule has to change it here, and a worse one is caught.
"""

from statistics import median

import pytest

from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.strength import (
    Confidence,
    Estimate,
    Formula,
    estimate_one_rm,
    one_rm_factor,
    published_factor,
    reps_at_load,
)
from coaching.rules.volume import system_load


def one_rm(load: float, reps: int, rir: float | None = 0) -> Estimate:
    found = estimate_one_rm(load, reps, rir)
    assert isinstance(found, Estimate)
    return found


def reps(maximum: float, load: float) -> Estimate:
    found = reps_at_load(maximum, load)
    assert isinstance(found, Estimate)
    return found


# Johnson D, Lynch J, Nash K, Cygan J, Mayhew JL 2009, JSCR 23(3):1022-1028: repetitions at 80 % of
# the 1RM, mean and standard deviation, by 35 men and 23 women. Men's pull-ups are checked with the
# formulas.
@pytest.mark.parametrize(
    ("mean", "spread"),
    [(9.9, 2.5), (10.0, 2.4)],
    ids=["lat pull, men", "lat pull, women"],
)
def test_repetitions_at_four_fifths_lie_within_one_deviation_of_what_was_done(
    mean: float, spread: float
) -> None:
    assert reps(100, 80).value == pytest.approx(mean, abs=spread)


def test_known_miss_womens_pull_ups_at_four_fifths() -> None:
    # Same paper: women did 10.5 +- 2.2 pull-ups; the estimate is 8.0, 2.5 too few, and even its
    # band ends at 10. No formula knows sex, so a woman may do more than is told.
    found = reps(100, 80)

    assert 10.5 - found.value == pytest.approx(2.5, abs=0.05)
    assert found.high == pytest.approx(10.0)


# Coyne JO et al. 2015, J Aust Strength Cond 23(4):21-27: 1RM of 15 men as total mass [kg] and as
# a multiple of body mass; the ratio of dip to pull-up was printed as 1.11.
def test_pull_up_and_dip_are_reckoned_on_total_mass_as_their_tests_are() -> None:
    library = {one.exercise.key: one.exercise for one in read_shared_catalogue()}
    body = 105.90 / 1.43

    moved = [
        system_load(library[key], kg - body, body)
        for key, kg in (("pull-up", 105.90), ("dip", 116.89))
    ]

    assert [kg / body for kg in moved] == pytest.approx([1.43, 1.59], abs=0.015)
    assert moved[1] / moved[0] == pytest.approx(1.11, abs=0.01)


# Reynolds JM, Gordon TJ, Robergs RA 2006, JSCR 20(3):584-592, 70 people of 18 to 69 years:
# chest press 1RM = 1.1307 x 5RM + 0.6999, standard error 2.98 kg;
# leg press 1RM = 1.0970 x 5RM + 14.2546, standard error 16.16 kg.
@pytest.mark.parametrize("five_rm", [30, 50, 70, 90, 100])
def test_five_repetitions_on_the_chest_press_agree_with_the_regression(five_rm: float) -> None:
    assert one_rm(five_rm, 5).value == pytest.approx(1.1307 * five_rm + 0.6999, abs=2.98)


@pytest.mark.parametrize("five_rm", [100, 200, 300, 400])
def test_five_repetitions_on_the_leg_press_agree_with_the_regression(five_rm: float) -> None:
    assert one_rm(five_rm, 5).value == pytest.approx(1.0970 * five_rm + 14.2546, abs=16.16)


def test_known_miss_very_heavy_chest_presses_are_told_too_strong() -> None:
    # Same regression at a 5RM of 120 kg: 136.4 kg measured, 3.5 kg (2.6 %) less than estimated;
    # it lies in the band.
    found = one_rm(120, 5)

    assert found.value - (1.1307 * 120 + 0.6999) == pytest.approx(3.5, abs=0.05)
    assert found.low <= 1.1307 * 120 + 0.6999


# LeSuer DA et al. 1997, JSCR 11(4):211-213 (read in a secondary text): mean bench press 1RM 137.0
# achieved; Brzycki 131.9, Lander 133.0, Epley 135.1 predicted from 10 repetitions or fewer.
# The means fit sets of 7.5 repetitions, which is worked out here and not printed.
LESUER_REPS = 7.5
LESUER_LOAD = 131.9 * (37 - LESUER_REPS) / 36


def test_three_formulas_predict_what_was_printed_for_one_and_the_same_set() -> None:
    printed = {Formula.BRZYCKI: 131.9, Formula.LANDER: 133.0, Formula.EPLEY: 135.1}

    found = {one: LESUER_LOAD * published_factor(one, LESUER_REPS) for one in printed}

    assert found == pytest.approx(printed, abs=0.05)


def test_known_miss_every_formula_told_bench_pressers_too_weak() -> None:
    # As LeSuer found of all seven. The middle one is 4 of 137 too low, 2.9 %; the highest comes
    # within 1.0.
    found = [LESUER_LOAD * one_rm_factor(one, LESUER_REPS) for one in Formula]

    assert max(found) < 137.0
    assert 137.0 - median(found) == pytest.approx(4.0, abs=0.05)
    assert 137.0 - max(found) == pytest.approx(1.0, abs=0.05)


# Lacio ML et al. 2010, Motricidade: bench press of 31 trained men, 4 to 10 repetitions, standard
# error of estimate 2.7 to 3.2 kg. The mean 1RM was not read; 100 kg is taken for trained men.
@pytest.mark.parametrize("done", range(4, 11))
def test_the_band_is_about_as_wide_as_the_error_that_was_measured(done: int) -> None:
    load = 100 / one_rm(1, done).value

    found = one_rm(load, done)

    half = ((found.high or 0) - found.low) / 2
    assert 2.7 <= half <= 2 * 3.2


# Vanderburgh PM, Edmonds T 1997, JSCR 11(4):230-233: 10 % more total mass, 53 % fewer pull-ups.
# The rule that chooses loads uses it and is checked with the next load.
def test_known_miss_the_formulas_leave_too_many_pull_ups_after_mass_is_added() -> None:
    # From 10 repetitions the formulas leave 6.8 (5.9 to 8.5) where 4.7 were measured: two too
    # many. So loads are never chosen by ``reps_at_load``.
    found = reps(one_rm(80, 10).value, 88)

    assert found.value - 4.7 == pytest.approx(2.15, abs=0.05)
    assert found.low > 4.7


def test_at_seven_tenths_the_estimate_says_itself_that_it_is_a_guess() -> None:
    # NSCA load charts: 70 % goes for 11 or 12 repetitions. Zourdos MC et al. 2021, JSCR
    # 35(S1):S158-S165: trained lifters did 6 to 26.
    found = reps(100, 70)

    assert found.value == pytest.approx(12, abs=1)
    assert 6 <= found.value <= 26
    assert found.confidence is Confidence.LOW


def test_known_miss_a_lifter_of_few_repetitions_lies_below_the_band() -> None:
    # Same range: 6 repetitions at 70 % were done by somebody, and the band begins at 11.7.
    assert reps(100, 70).low == pytest.approx(11.7, abs=0.05)


# Halperin I et al. 2022, Sports Med 52(2):377-390: 0.95 repetitions more in reserve than said.
def test_what_clients_have_left_on_average_lies_in_the_band_and_above_the_value() -> None:
    said, true = one_rm(100, 5, 2), one_rm(100, 5, 2.95)

    assert said.value < true.value <= (said.high or 0)
