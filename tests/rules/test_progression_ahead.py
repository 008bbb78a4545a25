"""Proposals that know what is told ahead: loads and rungs by the forecast, and what is held."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from coaching.rules.ability_forecast import Forecast, SetForecast
from coaching.rules.plan import Exercise, LoadKind, Part
from coaching.rules.progression import Step
from coaching.rules.progression_ahead import Ahead, Held
from coaching.rules.progression_words import HELD_RULE
from tests.rules.asking import ask, harder_rung, push_up
from tests.rules.examples import make_exercise, make_prescription, make_pull_up

EIGHTS, FIVES = (8, 8, 8, 8, 8), (5, 5, 5, 5, 5)
PULL_UP = make_pull_up()
LOADS = (0.0, 2.5, 5.0, 7.5, 10.0, 12.5)


def made(could: int, chance: float, targets: tuple[int, ...]) -> Forecast:
    one = [SetForecast(target, could, could - 2, could + 2, chance) for target in targets]
    return Forecast(tuple(one), chance, np.full((1, len(targets)), could))


def tells(at: Callable[[Exercise, float], tuple[int, float]]) -> Ahead:
    """A forecast of the same repetitions on every set, by exercise and load."""
    return Ahead(lambda to, load, targets: made(*at(to, load), targets))


def proposal(prescription, *done, **options: Any):
    return ask(prescription, *done, **options)


# --- what is said -------------------------------------------------------------------


def test_a_proposal_says_what_to_expect_and_how_often_all_is_made():
    ahead = tells(lambda _to, _load: (9, 0.71))
    found = proposal(make_prescription(push_up, (7, 7, 7)), (7, 7, 7), ahead=ahead)

    assert found.targets == (8, 7, 7)
    assert "the last set would give about 9 good repetitions (mostly 7 to 11)" in found.sentence
    assert found.sentence.endswith("all that is asked is made 7 times in 10.")
    assert {one.label: one.value for one in found.evidence}["All that is asked"] == "7 times in 10"


def test_without_a_forecast_a_proposal_is_what_it_was():
    prescription = make_prescription(push_up, (7, 7, 7))
    without = proposal(prescription, (7, 7, 7))

    for ahead in (None, Ahead(), Ahead(lambda *_: None)):
        assert proposal(prescription, (7, 7, 7), ahead=ahead) == without


def test_what_hurts_is_not_told_how_often_it_will_be_made():
    ahead = tells(lambda _to, _load: (9, 0.9))
    found = proposal(make_prescription(push_up, (7, 7)), (7, 7), pain=8, ahead=ahead)

    assert "times in 10" not in found.sentence


# --- loads --------------------------------------------------------------------------


def test_the_load_is_the_hardest_at_which_the_first_targets_are_made_every_other_time():
    by_load = {2.5: (8, 0.9), 5.0: (7, 0.7), 7.5: (6, 0.55), 10.0: (5, 0.4), 12.5: (4, 0.2)}
    ahead = tells(lambda _to, load: by_load.get(load, (9, 1.0)))
    asked = make_prescription(PULL_UP, EIGHTS, 0.0)
    found = proposal(asked, EIGHTS, loads=LOADS, ahead=ahead)

    assert (found.step, found.load, found.targets) == (Step.STEP_UP, 7.5, FIVES)
    assert found.sentence.endswith(
        "the last set would give about 6 good repetitions (mostly 4 to 8); "
        "all that is asked is made 6 times in 10."
    )


def test_a_strong_client_is_not_sent_further_than_a_usual_step():
    # 2-10 % a step: ACSM 2009; 10 % of 80 kg are 8 kg.
    ahead = tells(lambda _to, _load: (12, 0.99))
    found = proposal(make_prescription(PULL_UP, EIGHTS, 0.0), EIGHTS, loads=LOADS, ahead=ahead)

    assert found.load == 7.5


def test_a_load_that_would_leave_too_few_waits_for_more_repetitions():
    ahead = tells(lambda _to, load: (3, 0.05) if load else (9, 0.9))
    found = proposal(make_prescription(PULL_UP, EIGHTS, 0.0), EIGHTS, loads=LOADS, ahead=ahead)

    assert (found.load, found.targets) == (0.0, (9, 8, 8, 8, 8))


def test_a_dumbbell_goes_to_the_very_next_load_with_fewer_reps_after_a_big_jump():
    curl = make_exercise("curl", load_kind=LoadKind.EXTERNAL, body_share=0.0, multi_joint=False)
    asked = make_prescription(curl, (12, 12, 12), 6.0, part=Part.ISOLATION)
    ahead = tells(lambda _to, load: (6, 0.5) if load > 6 else (13, 0.9))
    found = proposal(asked, (12, 12, 12), loads=(6.0, 8.0, 10.0), ahead=ahead)

    assert (found.load, found.targets) == (8.0, (6, 6, 6))


# --- rungs ---------------------------------------------------------------------------


@pytest.mark.parametrize(("could", "key"), [(3, "push-up"), (5, "archer")])
def test_a_rung_waits_until_about_five_good_repetitions_can_be_expected(could, key):
    ahead = tells(lambda to, _load: (could if to is harder_rung else 9, 0.6))
    asked = make_prescription(push_up, EIGHTS)

    assert proposal(asked, EIGHTS, harder=harder_rung, ahead=ahead).exercise_key == key


def test_a_rung_does_not_wait_without_end():
    ahead = tells(lambda to, _load: (2 if to is harder_rung else 15, 0.1))
    high = (12,) * 5
    found = proposal(make_prescription(push_up, high), high, harder=harder_rung, ahead=ahead)

    assert found.exercise_key == "archer"
    assert "1 time in 10" in found.sentence


# --- what is held ----------------------------------------------------------------------


@pytest.mark.parametrize("held", list(Held))
@pytest.mark.parametrize("done", [(7, 7, 7), EIGHTS[:3], (12, 12, 12)])
def test_nothing_goes_up_while_strength_falls(held, done):
    found = proposal(
        make_prescription(push_up, done), done, harder=harder_rung, ahead=Ahead(held=held)
    )

    assert (found.step, found.targets, found.exercise_key) == (Step.HOLD, done, "push-up")
    assert found.rule == HELD_RULE


@pytest.mark.parametrize("held", list(Held))
def test_what_was_missed_twice_still_steps_back(held):
    asked = make_prescription(push_up, (7, 7, 7))
    free = proposal(asked, (6, 5, 5), (6, 5, 5))

    assert free.step is Step.STEP_BACK
    assert proposal(asked, (6, 5, 5), (6, 5, 5), ahead=Ahead(held=held)) == free
