"""The filter and smoother against a published table, a general library, and arithmetic."""

from math import erf, exp, log, pi, sqrt

import numpy as np
import pytest
from scipy.stats import truncnorm
from statsmodels.tsa.statespace.kalman_smoother import KalmanSmoother

from coaching.rules.belief_bank import BeliefBank, Moment, Mostly, Row, smooth

LEVEL = Row((0,), np.ones(1))
# Annual flow of the Nile at Aswan, 1871-1970 [1e8 m3]: Durbin & Koopman 2012, as in the
# data sets of statsmodels.
NILE = [
    *(1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960),
    *(1180, 799, 958, 1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694),
    *(940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832, 764),
    *(821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897),
    *(822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838),
    *(1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740),
]
NOISE, DRIFT = 15099.0, 1469.1
DIFFUSE = 1e11


def moment_of(bank, turn, ahead, kept=(True,)):
    return Moment(bank.mean.copy(), bank.cov.copy(), bank.weights, np.array(kept), turn, *ahead)


def nile():
    """Moments of the local level model, and its log likelihood without the first value."""
    bank, moments, likelihood = BeliefBank(), [], 0.0
    bank.grow(0, DIFFUSE)
    for number, flow in enumerate(NILE):
        turn, noise = np.eye(1), np.array([[DRIFT if number else 0.0]])
        bank.advance(turn, noise)
        ahead = bank.mean.copy(), bank.cov.copy()
        before = bank.log_weight[0]
        bank.observe(LEVEL, flow, NOISE)
        likelihood += bank.log_weight[0] - before if number else 0
        moments.append(moment_of(bank, turn, ahead))
    return moments, likelihood


@pytest.mark.parametrize(
    ("year", "filtered", "variance", "smoothed", "smoothed_variance"),
    [
        # Computed for fixed variances with an exact diffuse start; the steady state of 4032.16
        # is that of Durbin & Koopman 2012, ch. 2.
        (1871, 1120.000, 15099.00, 1111.668, 4032.16),
        (1872, 1140.928, 7899.74, 1110.858, 3242.93),
        (1873, 1072.799, 5781.47, 1105.266, 2818.94),
        (1874, 1117.309, 4898.37, 1113.516, 2591.17),
        (1898, 1133.126, 4032.16, 999.585, 2326.76),
        (1899, 1037.222, 4032.16, 950.930, 2326.76),
        (1920, 849.071, 4032.16, 834.763, 2326.76),
        (1970, 798.370, 4032.16, 798.370, 4032.16),
    ],
)
def test_the_nile_is_filtered_and_smoothed_to_the_printed_digits(
    year, filtered, variance, smoothed, smoothed_variance
):
    moments, _ = nile()

    moment, afterwards = moments[year - 1871], smooth(moments)[year - 1871]

    # A start that is wide but not infinite is off by its share: 15099 of 1e11.
    assert moment.mean[0, 0] == pytest.approx(filtered, abs=6e-4)
    assert moment.cov[0, 0] == pytest.approx(variance, abs=6e-3)
    assert afterwards.mean[0, 0] == pytest.approx(smoothed, abs=6e-4)
    assert afterwards.cov[0, 0] == pytest.approx(smoothed_variance, abs=6e-3)


def test_the_log_likelihood_of_the_nile_is_the_published_one():
    _, likelihood = nile()

    # Durbin & Koopman 2012, ch. 2: -632.5456 (diffuse, first value left out).
    assert likelihood == pytest.approx(-632.5456, abs=1e-3)


def reference(values, rows, turn, noise, spread):
    """What statsmodels makes of three states and one value a moment, all matrices given."""
    model = KalmanSmoother(1, 3, k_posdef=3)
    model.bind(values[:, None])
    model["design"] = rows.T[None, :, :]
    model["transition"], model["selection"] = turn, np.eye(3)
    model["state_cov"], model["obs_cov"] = noise, np.array([[spread]])
    model.initialize_known(np.zeros(3), np.eye(3))
    return model.smooth()


@pytest.mark.parametrize("number", range(5))
def test_random_series_agree_with_a_general_library(number):
    random = np.random.default_rng(number)
    turn = 0.5 * np.eye(3) + 0.2 * random.standard_normal((3, 3))
    root = random.standard_normal((3, 3))
    noise, spread = root @ root.T / 5, 0.4
    rows, values = random.standard_normal((40, 3)), random.standard_normal(40)
    values[7] = np.nan

    known = reference(values, rows, turn, noise, spread)
    bank, moments = BeliefBank(), []
    for _ in range(3):
        bank.grow(0, 1)
    for place, (row, value) in enumerate(zip(rows, values, strict=True)):
        if place:
            bank.advance(turn, noise)
        ahead = bank.mean.copy(), bank.cov.copy()
        if not np.isnan(value):
            bank.observe(Row((0, 1, 2), row), value, spread)
        moments.append(moment_of(bank, turn, ahead))
    smoothed = smooth(moments)

    filtered = np.array([m.mean[0] for m in moments])
    assert np.allclose(filtered, known.filtered_state.T, atol=1e-9)
    assert np.allclose([m.cov for m in moments], np.moveaxis(known.filtered_state_cov, 2, 0))
    assert np.allclose([s.mean[0] for s in smoothed], known.smoothed_state.T, atol=1e-9)
    assert np.allclose([s.cov for s in smoothed], np.moveaxis(known.smoothed_state_cov, 2, 0))
    assert bank.log_weight[0] == pytest.approx(known.llf_obs.sum(), abs=1e-9)


def test_a_state_that_comes_later_does_not_disturb_what_was_known_before():
    bank, moments = BeliefBank(), []
    bank.grow(0, 1)
    for value in (1.0, 2.0, 1.5):
        if value == 2.0:
            bank.grow(5, 3)
        size = len(bank.cov)
        bank.advance(np.eye(size), 0.1 * np.eye(size))
        ahead = bank.mean.copy(), bank.cov.copy()
        bank.observe(LEVEL, value, 0.5)
        moments.append(moment_of(bank, np.eye(size), ahead))

    smoothed = smooth(moments)

    assert [one.mean.shape[1] for one in smoothed] == [1, 2, 2]
    assert smoothed[1].mean[0, 1] == pytest.approx(5)


def level_with_fall(falls, drops_after=None):
    """A level seen through a fall that each hypothesis knows; the later ones begin at the third."""
    bank, moments = BeliefBank(), []
    bank.grow(0, 1)
    for place, value in enumerate((1.0, 1.2, 0.1, 0.2, 0.0, 1.1)):
        bank.advance(np.eye(1), 0.1 * np.eye(1))
        if place == 2:
            bank.fork(np.full(len(falls) - 1, log(0.5)))
        ahead = bank.mean.copy(), bank.cov.copy()
        shift = np.array(falls) if place >= 2 else 0.0
        bank.observe(
            LEVEL, value, 0.5, shift=shift if len(bank.mean) > 1 else falls[0] * (place >= 2)
        )
        kept = np.array([True] + [place != drops_after] * (len(bank.mean) - 1))
        moments.append(moment_of(bank, np.eye(1), ahead, kept))
        bank.keep(kept)
        falls = (
            [fall for fall, stays in zip(falls, kept, strict=True) if stays]
            if place >= 2
            else falls
        )
    return moments


def test_every_hypothesis_is_smoothed_as_if_it_stood_alone():
    plain, fallen = (smooth(level_with_fall([fall])) for fall in (0.0, -1.0))

    both = smooth(level_with_fall([0.0, -1.0]))

    for one, without, with_fall in zip(both, plain, fallen, strict=True):
        assert one.mean[:, 0] == pytest.approx([without.mean[0, 0], with_fall.mean[0, 0]])
        assert one.cov == pytest.approx(without.cov)
        assert one.weights == pytest.approx(both[-1].weights)
    assert both[0].hypothesis.tolist() == [0, 0]


def test_a_hypothesis_that_was_dropped_keeps_the_weight_it_had():
    moments = level_with_fall([0.0, -1.0], drops_after=4)

    smoothed = smooth(moments)

    assert [len(one.weights) for one in smoothed] == [2, 2, 2, 2, 2, 1]
    assert smoothed[2].weights == pytest.approx(moments[4].weights)


def test_a_least_moves_the_belief_like_a_normal_distribution_that_is_cut_off():
    bank = BeliefBank()
    bank.grow(10, 4)
    bank.observe_at_least(LEVEL, 11, 1e-12)

    known = truncnorm((11 - 10) / 2, np.inf, loc=10, scale=2)  # scipy

    assert bank.mean[0, 0] == pytest.approx(known.mean(), abs=1e-6)
    assert bank.cov[0, 0] == pytest.approx(known.var(), abs=1e-6)
    assert exp(bank.log_weight[0]) == pytest.approx(1 - (1 + erf(0.5 / sqrt(2))) / 2, abs=1e-6)


def test_a_least_is_read_by_what_is_mostly_believed_and_holds_once_the_rest_is_ruled_out():
    both, narrow, wide = Row((0, 1), np.ones(2)), 0.25, 9.0
    bank = BeliefBank()
    bank.grow(10, 1)
    bank.grow(0, wide)
    extra = 1 / (1 / narrow - 1 / wide)
    ordinary = Mostly(
        off=bank.mean[:, [1]],
        pull=np.array([[0, wide / (wide + extra)]]),
        variance=np.array([wide + extra]),
        odds=np.array([25.0]),
        cov=np.diag([1, narrow]),
    )
    bank.observe_at_least(both, 11, 1e-12, mostly=ordinary)
    bank.tighten(1, narrow, wide, 1e-300)

    spread = sqrt(1 + narrow)
    known = truncnorm((11 - 10) / spread, np.inf, loc=10, scale=spread)  # scipy

    assert bank.mean[0].sum() == pytest.approx(known.mean(), abs=1e-6)
    assert bank.cov.sum() == pytest.approx(known.var(), abs=1e-6)


def test_a_least_far_below_the_belief_says_nothing():
    bank = BeliefBank()
    bank.grow(10, 1)
    bank.observe_at_least(LEVEL, 2, 1)

    assert (bank.mean[0, 0], bank.cov[0, 0], bank.log_weight[0]) == (10, 1, 0)


def test_a_doubted_value_far_off_hardly_moves_the_belief():
    sure, unsure = BeliefBank(), BeliefBank()
    for bank, doubt in ((sure, 0.0), (unsure, 0.05)):
        bank.grow(0, 0.01)
        bank.observe(LEVEL, 3, 0.01, doubt=doubt)

    assert sure.mean[0, 0] == pytest.approx(1.5)
    assert abs(unsure.mean[0, 0]) < 0.05


def test_hypotheses_are_weighed_by_how_well_their_shifts_fit():
    bank = BeliefBank()
    bank.grow(0, 0.5)
    bank.fork(np.array([log(0.25)]))
    bank.observe(LEVEL, -1, 0.5, shift=np.array([0.0, -1.0]))

    # Two normal densities of variance 1 at -1 and 0, with priors 1 and 1/4: Bayes' rule.
    plain, fallen = exp(-0.5) / sqrt(2 * pi), 0.25 / sqrt(2 * pi)
    assert bank.weights[1] == pytest.approx(fallen / (plain + fallen))
    assert bank.mean[:, 0] == pytest.approx([-0.5, 0.0])


def test_a_wide_prior_made_narrow_afterwards_is_the_narrow_prior():
    later, before = BeliefBank(), BeliefBank()
    both = Row((0, 1), np.ones(2))
    for bank, spread in ((later, 9.0), (before, 0.25)):
        bank.grow(0, 1)
        bank.grow(0, spread)
        bank.observe(both, 2, 0.5)
        bank.observe(LEVEL, 1, 0.5)
    share = later.tighten(1, 0.25, 9.0, 1e-300)

    assert share == pytest.approx([1])
    assert later.mean == pytest.approx(before.mean)
    assert later.cov == pytest.approx(before.cov)
    assert later.log_weight == pytest.approx(before.log_weight)
