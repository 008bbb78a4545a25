"""With which targets an exercise begins in the place of another (common practice, no source)."""

from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.plan import Measure, Part
from coaching.rules.swapped_targets import converted_targets, swapped_targets
from tests.rules.examples import make_exercise

push_up = make_exercise("push-up", ladder="push-up", rung=4)
archer = make_exercise("archer", ladder="push-up", rung=5)
incline = make_exercise("incline", ladder="push-up", rung=3)
press = make_exercise("press", complexity=push_up.complexity)
balance = make_exercise("balance", complexity=push_up.complexity + 1)


def test_repetitions_become_seconds_and_come_back():
    there = converted_targets((8, 6), Measure.REPS, Measure.SECONDS)

    assert converted_targets(there, Measure.SECONDS, Measure.REPS) == (8, 6)
    assert converted_targets((1,), Measure.SECONDS, Measure.REPS) == (1,)


def test_a_harder_rung_begins_where_a_step_up_to_it_begins():
    """5 in a primary pair: the bottom of its range, common practice."""
    assert swapped_targets((8, 8, 7), push_up, archer, Part.PRIMARY) == (5, 5, 5)
    assert swapped_targets((4, 4, 3), push_up, archer, Part.PRIMARY) == (4, 4, 3)
    assert swapped_targets((8, 8, 7), push_up, incline, Part.PRIMARY) == (8, 8, 7)


def test_off_the_ladder_what_is_harder_to_coordinate_begins_lower_too():
    assert swapped_targets((8, 8, 7), push_up, balance, Part.PRIMARY) == (5, 5, 5)
    assert swapped_targets((8, 8, 7), push_up, press, Part.PRIMARY) == (8, 8, 7)


@given(st.lists(st.integers(1, 60), min_size=1, max_size=8), st.sampled_from(Part))
def test_no_swap_asks_for_more_or_for_another_number_of_sets(targets, part):
    for to in (archer, incline, press, balance):
        found = swapped_targets(targets, push_up, to, part)
        assert len(found) == len(targets)
        assert all(0 < one <= before for one, before in zip(found, targets, strict=True))
