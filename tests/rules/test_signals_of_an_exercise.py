"""What a set shows, and what is said of one exercise: progress, stall, pacing."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.rules.exposures import Usual, percent, read_exposures
from coaching.rules.findings import FindingKind
from coaching.rules.signals import read_signals
from tests.rules.courses import PULL_UP, course, found_on, of_kind
from tests.rules.examples import day, make_logged_session, make_sets
from tests.rules.simulated_client import EXERCISES, SimulatedClient


def test_a_set_stopped_at_its_target_says_only_at_least():
    [met] = read_exposures(course((5, 5, 5)))["pull-up"]
    [missed] = read_exposures(course((5, 5, 4), targets=(5, 5, 5)))["pull-up"]

    assert met.at_least
    assert not missed.at_least


def test_a_fall_is_measured_in_strength_by_epleys_formula():
    # Epley 1985: 1 + r/30. From 10 to 5 repetitions at failure: (35/30) / (40/30) = 0.875.
    usual = read_exposures(course((10,), (10,), (10,), rir=0))["pull-up"]
    [fallen] = read_exposures(course((5,), targets=(10,)))["pull-up"]

    fall = Usual(usual).fall_of(fallen)

    assert fall is not None
    assert percent(fall) == pytest.approx(12.5)


def test_added_load_is_compared_on_the_system_load():
    # 80 kg body: 8 reps at 0 kg show 101.3 kg, 7 reps with 2 kg show 101.1 kg (Epley 1985).
    usual = read_exposures(course((8,), (8,), (8,), rir=0))["pull-up"]
    [heavier] = read_exposures(course((7,), rir=0, load=2, targets=(8,)))["pull-up"]

    fall = Usual(usual).fall_of(heavier)

    assert fall is not None
    assert percent(fall) == pytest.approx(0.2, abs=0.1)


def test_a_load_typed_in_the_wrong_unit_is_left_out():
    sessions = course(*[(6, 6, 6)] * 7, load=20)
    wrong = make_logged_session(make_sets(PULL_UP, (6, 6, 6), 200), on=sessions[3].on)

    exposures = read_exposures([*sessions[:3], wrong, *sessions[4:]])["pull-up"]

    assert [e.load for e in exposures] == [20] * 6


def test_an_exercise_whose_sessions_all_lie_far_apart_is_left_out():
    # Each lies far from the middle of those around it.
    loads = (0, 100, 0, 100)
    by_turns = [
        make_logged_session(make_sets(PULL_UP, (8, 8), load), on=day(n))
        for n, load in enumerate(loads)
    ]

    assert read_exposures(by_turns) == {}
    assert of_kind(read_signals(by_turns, (), today=day(4)), FindingKind.HOLDING) == []


def test_a_stair_that_is_climbed_is_progress():
    stair = [(7, 7, 7), (8, 7, 7), (8, 8, 7), (8, 8, 8), (9, 8, 8), (9, 9, 8)]

    [finding] = read_signals(course(*stair), (), today=day(20))

    assert finding.kind is FindingKind.PROGRESSING
    assert finding.exercise == "pull-up"
    assert "Pull up is progressing" in finding.sentence


def test_a_step_up_in_load_with_its_targets_met_is_progress():
    before = course((8, 8, 8), (8, 8, 8), (8, 8, 8), load=10)
    after = [replace(s, on=s.on + timedelta(days=12)) for s in course((5, 5, 5), load=15)]

    [finding] = read_signals([*before, *after], (), today=day(12))

    assert finding.kind is FindingKind.PROGRESSING


def test_six_sessions_of_missed_targets_without_gain_are_stalled():
    tries = [(7, 7, 6), (7, 7, 7), (7, 7, 6), (7, 6, 6), (7, 7, 6), (7, 6, 6)]

    [finding] = read_signals(course(*tries, targets=(8, 7, 7)), (), today=day(20))

    assert finding.kind is FindingKind.STALLED
    assert finding.since == day(4)


@pytest.mark.parametrize("sessions", [3, 4])
def test_a_stall_is_not_called_before_five_sessions(sessions):
    found = read_signals(course(*[(7, 7, 6)] * sessions, targets=(7, 7, 7)), (), today=day(20))

    assert of_kind(found, FindingKind.STALLED) == []


def test_a_repeated_target_that_is_met_is_holding_not_stalled():
    [finding] = read_signals(course(*[(7, 7, 7)] * 6), (), today=day(20))

    assert finding.kind is FindingKind.HOLDING
    assert "Ask for the reserve of the last set" in finding.could_not_know


def test_steady_gainers_are_seldom_called_stalled():
    # Made-up clients who gain 0.5 % a week; five exercises each, at the end of every month.
    called = judged = 0
    for seed in range(8):
        client = SimulatedClient(seed, gain_a_week=0.005)
        for found in found_on(client, (day(7 * week) for week in (8, 12, 16)), weeks=16):
            called += len(of_kind(found, FindingKind.STALLED))
            judged += len(EXERCISES)

    assert called <= 0.1 * judged


def test_reps_that_collapse_within_the_session_are_a_pacing_fault():
    found = read_signals(course((9, 8, 6, 5, 4), targets=(7,) * 5), (), today=day(0))

    [finding] = of_kind(found, FindingKind.PACING)
    assert "from 9 to 4 reps" in finding.sentence


@pytest.mark.parametrize(
    ("reps", "targets"),
    [((7, 7, 7, 7, 7), None), ((7, 7, 7, 7, 6), (7,) * 5), ((8, 6, 5), (8, 6, 5))],
)
def test_even_sets_and_falling_targets_are_no_pacing_fault(reps, targets):
    found = read_signals(course(reps, targets=targets), (), today=day(0))

    assert of_kind(found, FindingKind.PACING) == []
