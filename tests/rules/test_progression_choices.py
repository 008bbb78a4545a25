"""What a coach may choose instead of the proposal (common practice, no source)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.plan import LoadKind, Measure
from coaching.rules.progression import Exposure, Step
from coaching.rules.progression_ahead import Ahead, Held
from coaching.rules.progression_choices import as_planned, step_choices
from tests.rules.examples import day, make_exercise, make_prescription, make_sets

push_up = make_exercise("push-up", load_kind=LoadKind.NONE, ladder="push-up", rung=4)
harder = make_exercise("archer", load_kind=LoadKind.NONE, ladder="push-up", rung=5)
easier = make_exercise("incline", load_kind=LoadKind.NONE, ladder="push-up", rung=3)
curl = make_exercise("curl", load_kind=LoadKind.EXTERNAL, body_share=0, multi_joint=False)
hang = make_exercise("hang", load_kind=LoadKind.NONE, measure=Measure.SECONDS)


def choose(prescription, *done, loads=(0.0,), pain=None, **options):
    """The choices after these sets, each a tuple of amounts at the load that is asked for."""
    exposures = [
        Exposure(
            day(number * 3),
            make_sets(prescription.exercise, amounts, prescription.load, pain=pain),
            prescription,
        )
        for number, amounts in enumerate(done)
    ]
    usual = {"harder": None, "easier": None, "body_weight": 80.0}
    return step_choices(prescription, exposures, loads=loads, **(usual | options))


def test_up_is_one_step_of_the_stair_and_back_one_on_every_set():
    found = choose(make_prescription(push_up, (7, 7, 7)))

    assert found[Step.STEP_UP].targets == (8, 7, 7)
    assert found[Step.STEP_BACK].targets == (6, 6, 6)


def test_holds_move_by_five_seconds():
    found = choose(make_prescription(hang, (20, 20)))

    assert found[Step.STEP_UP].targets == (25, 20)
    assert found[Step.STEP_BACK].targets == (15, 15)


def test_at_the_top_of_the_range_up_is_the_next_load_or_the_harder_rung():
    loaded = choose(make_prescription(curl, (8, 8, 8), load=10.0), loads=(8.0, 10.0, 11.0, 12.0))
    rung = choose(make_prescription(push_up, (8, 8, 8)), harder=harder)

    assert loaded[Step.STEP_UP].load > 10
    assert rung[Step.STEP_UP].exercise_key == "archer"


def test_at_the_bottom_of_the_range_back_is_a_lighter_load_or_the_easier_rung():
    loaded = choose(make_prescription(curl, (5, 5, 5), load=10.0), loads=(8.0, 10.0, 12.0))
    rung = choose(make_prescription(push_up, (5, 5, 5)), easier=easier)

    assert (loaded[Step.STEP_BACK].load, loaded[Step.STEP_BACK].targets) == (8.0, (5, 5, 5))
    assert rung[Step.STEP_BACK].exercise_key == "incline"


def test_after_a_miss_back_follows_what_was_done():
    found = choose(make_prescription(push_up, (8, 8, 8)), (7, 6, 6))

    assert found[Step.STEP_BACK].targets == (7, 6, 6)


@pytest.mark.parametrize("pain", [6, 10])
def test_nothing_goes_up_while_it_hurts(pain):
    found = choose(make_prescription(push_up, (7, 7, 7)), (7, 7, 7), pain=pain)

    assert Step.STEP_UP not in found
    assert "licensed practitioner" in found[Step.STEP_BACK].sentence


@pytest.mark.parametrize("held", list(Held))
def test_nothing_goes_up_while_strength_falls(held):
    found = choose(make_prescription(push_up, (7, 7, 7)), (7, 7, 7), ahead=Ahead(held=held))

    assert Step.STEP_UP not in found


def test_the_easiest_there_is_has_no_step_back():
    assert Step.STEP_BACK not in choose(make_prescription(push_up, (1, 1)))


@given(st.lists(st.integers(1, 20), min_size=1, max_size=8), st.integers(0, 10))
def test_back_is_never_more_work_and_up_never_less(targets, short):
    done = tuple(max(0, one - short) for one in targets)
    found = choose(make_prescription(push_up, tuple(targets)), done)

    if Step.STEP_BACK in found:
        assert sum(found[Step.STEP_BACK].targets) < sum(targets)
        assert min(found[Step.STEP_BACK].targets) >= 1
    if Step.STEP_UP in found:
        assert sum(found[Step.STEP_UP].targets) > sum(targets)


def test_what_was_not_trained_stays_as_planned():
    asked = make_prescription(push_up, (7, 7, 7))

    found = as_planned(asked, [], loads=(0.0,), harder=None, easier=None, body_weight=80.0)

    assert (found.step, found.targets) == (Step.HOLD, asked.targets)
    assert "not trained in this week" in found.sentence
