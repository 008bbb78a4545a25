"""Whether strength came back after a light week: closed forms, and clients whose strength is known."""

from datetime import timedelta
from math import exp, log, sqrt
from statistics import NormalDist, mean

import numpy as np
import pytest

from coaching.rules.ability import Remembered
from coaching.rules.ability_compared import Levels
from coaching.rules.ability_state import FORM
from coaching.rules.belief_bank import Moment, together
from coaching.rules.fall_hypotheses import SHARED
from coaching.rules.findings import FindingKind
from coaching.rules.forecast_numbers import BAND_WIDER
from coaching.rules.plan import WeekKind
from coaching.rules.return_check import return_check, return_finding, return_words
from coaching.rules.signals import read_signals
from tests.rules.examples import MONDAY, day
from tests.rules.simulated_client import EXERCISES, SimulatedClient, drop

ALL = {exercise.key for exercise in EXERCISES}
LIGHT = 6
"""The light week, counted from 0."""


def client(seed: int, **more) -> SimulatedClient:
    return SimulatedClient(seed, "all", kinds={LIGHT: WeekKind.DELOAD}, **more)


def check_of(one: SimulatedClient, weeks: int = LIGHT + 3):
    return return_check(one.sessions(weeks), today=day(7 * weeks))


# Two days of one walk, known from readings of both: everything can be reckoned by hand.


def walk(step: float, noise: float, readings: tuple[float, float]):
    """A level that begins unknown and takes one step: its two days, filtered (Kalman 1960)."""
    size = FORM + 2
    place, no_fall = size - 1, np.full(1, -2)
    mean, var, moments = 0.0, 1.0, []
    for number, reading in enumerate(readings):
        ahead_mean, ahead = mean, var + (step if number else 0)
        gain = ahead / (ahead + noise)
        mean, var = ahead_mean + gain * (reading - ahead_mean), (1 - gain) * ahead
        as_states = [np.zeros((1, size)), np.zeros((1, size))]
        covs = [np.zeros((size, size)), np.zeros((size, size))]
        for states, cov, m, v in zip(
            as_states, covs, (mean, ahead_mean), (var, ahead), strict=True
        ):
            states[0, place], cov[place, place] = m, v
        moments.append(
            Moment(
                as_states[0],
                covs[0],
                np.ones(1),
                np.ones(1, bool),
                np.eye(size),
                as_states[1],
                covs[1],
            )
        )
    assert SHARED != -2
    return place, [
        Remembered(MONDAY + timedelta(days=n), {"x": place}, one, np.zeros(1), no_fall)
        for n, one in enumerate(moments)
    ]


def test_the_change_between_two_days_is_that_of_the_joint_normal_distribution():
    step, noise, readings = 0.05**2, 0.03**2, (0.10, 0.07)
    # By hand: both levels and both readings are jointly normal; condition on the readings.
    prior = np.array([[1.0, 1.0], [1.0, 1.0 + step]])
    gain = prior @ np.linalg.inv(prior + noise * np.eye(2))
    middle, cov = gain @ np.array(readings), prior - gain @ prior
    change = middle[1] - middle[0]
    spread = sqrt(cov[0, 0] + cov[1, 1] - 2 * cov[0, 1])
    place, course = walk(step, noise, readings)

    found = Levels(course).compare([place], 0, 0)

    wide = BAND_WIDER.value * spread
    assert together([one.moment for one in course])[place, place] == pytest.approx(cov[0, 1])
    assert found.back == pytest.approx(
        NormalDist(change, wide).cdf(float("inf")) - NormalDist(change, wide).cdf(0.0)
    )
    assert found.change.middle == pytest.approx(100 * (exp(change) - 1))
    low = exp(NormalDist(change, wide).inv_cdf(0.05)) - 1
    assert found.change.low == pytest.approx(100 * low)


def test_two_days_apart_by_nothing_are_surely_alike():
    place, course = walk(1e-12, 0.03**2, (0.1, -0.1))

    found = Levels(course).compare([place], 0, 0)

    assert found.change.high - found.change.low < 0.01
    assert found.change.middle == pytest.approx(0, abs=0.01)


# Clients whose strength is known


@pytest.mark.parametrize("seed", range(4))
def test_who_recovers_in_the_light_week_is_called_back_or_nothing_is_said(seed):
    # Eight per cent lost in everything ten days before the light week, all of it back after it.
    fallen = drop(7 * LIGHT - 10, 0.08, ALL, length=10 + 7)

    check = check_of(client(seed, change=fallen))

    assert check is not None
    assert not check.is_not_back
    assert check.all.change.low <= 100 * (exp(0.0025 * 4) - 1) <= check.all.change.high


@pytest.mark.parametrize("seed", range(4))
def test_who_stays_ten_per_cent_weaker_is_not_called_back(seed):
    check = check_of(client(seed, change=drop(7 * LIGHT, 0.10, ALL, length=60)))

    assert check is not None
    assert check.is_not_back


def test_the_range_holds_the_truth_about_as_often_as_it_says():
    # Changes of different size that come with the light week and stay; truth is what was put in.
    depths = [0.0, 0.03, 0.06, 0.10]
    held, sure = [], []
    for seed in range(24):
        depth = depths[seed % len(depths)]
        one = client(100 + seed, change=drop(7 * LIGHT, depth, ALL, length=60))
        check = check_of(one)
        assert check is not None
        weeks = (check.after - check.before).days / 7
        truth = 100 * (exp(log(1 - depth) + one.gain_a_week * weeks) - 1)
        held.append(check.all.change.low <= truth <= check.all.change.high)
        if check.is_back or check.is_not_back:
            sure.append(check.is_back == (truth >= 0))

    # Nine times in ten, less two standard errors of 24 draws (0.9 - 2 * 0.061).
    assert mean(held) >= 0.77
    # Said from 80 per cent on; at that rate two standard errors less.
    assert mean(sure) >= 0.64
    assert len(sure) >= len(held) // 2


def test_each_exercise_is_compared_by_itself_and_one_that_fell_alone_is_seen():
    only = drop(7 * LIGHT, 0.15, {"row"}, length=60)

    check = check_of(client(3, change=only))

    assert check is not None
    back = {one.key: compared.back for one, compared in check.exercises.items()}
    assert set(back) == ALL
    assert min(back, key=lambda key: back[key]) == "row"
    assert back["row"] < 0.1


# When it is said, and when not


def test_before_the_first_session_back_and_after_two_weeks_nothing_is_read():
    one = client(1)

    assert check_of(one, LIGHT + 1) is None
    assert check_of(one, LIGHT + 2) is not None
    assert check_of(one, LIGHT + 3) is not None
    assert check_of(one, LIGHT + 4) is None


def test_without_a_light_week_or_with_little_before_it_nothing_is_read():
    plain = SimulatedClient(1, "all").sessions(8)
    soon = SimulatedClient(1, "all", kinds={1: WeekKind.DELOAD}).sessions(3)

    assert return_check(plain, today=day(56)) is None
    assert return_check(soon, today=day(21)) is None


def test_later_sessions_are_not_read():
    sessions = client(2).sessions(LIGHT + 4)
    today = day(7 * (LIGHT + 2))

    until_then = [one for one in sessions if one.on <= today]

    assert return_check(sessions, today=today) == return_check(until_then, today=today)


def test_the_finding_says_its_numbers_and_how_sure_it_is():
    sessions = client(0, change=drop(7 * LIGHT, 0.10, ALL, length=60)).sessions(LIGHT + 2)
    check = return_check(sessions, today=day(7 * (LIGHT + 2)))
    assert check is not None

    finding = return_finding(check)

    assert finding is not None
    assert finding.kind is FindingKind.NOT_BACK
    assert finding.probability == pytest.approx(1 - check.all.back)
    assert "strength is not back" in finding.sentence
    assert "9 times in 10" in finding.sentence
    assert finding.question


def test_the_weeks_findings_hold_the_return_unless_a_new_fall_tells_of_it():
    sessions = client(0, change=drop(7 * LIGHT, 0.10, ALL, length=60)).sessions(LIGHT + 2)

    kinds = {f.kind for f in read_signals(sessions, [], today=day(7 * (LIGHT + 2)))}

    assert len(kinds & {FindingKind.NOT_BACK, FindingKind.OVERREACHING}) == 1


def test_the_client_is_told_what_the_first_session_checks():
    words = return_words(["Push-up", "Pull-up"])

    assert "2 left or more" in words
    assert "Push-up and Pull-up" in words
