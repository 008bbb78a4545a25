"""The arithmetic of targets (common practice, no source)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.plan import Measure, Part
from coaching.rules.stair import is_pacing_fault, one_step_up, spread, usual_range


@pytest.mark.parametrize(
    ("done", "asked", "fault"),
    [
        ((9, 8, 6, 5, 4), (7,) * 5, True),
        ((8, 7, 7, 7, 6), (7,) * 5, True),
        ((8, 8, 7, 7, 7), (7,) * 5, False),
        ((8, 6, 6), (8, 6, 6), False),
        ((8,), (7,), False),
    ],
)
def test_a_pacing_fault_is_a_fall_of_two_that_nobody_asked_for(done, asked, fault):
    assert is_pacing_fault(done, asked) is fault


@given(st.integers(0, 200), st.integers(1, 12))
def test_a_total_is_shared_out_evenly(total, sets):
    shared = spread(total, sets)

    assert max(shared) - min(shared) <= 1
    assert sum(shared) == max(total, sets)


def test_the_usual_ranges_are_those_of_the_trade():
    # Common practice, no source.
    ranges = {part: usual_range(part, Measure.REPS) for part in Part}

    assert (ranges[Part.PRIMARY].bottom, ranges[Part.PRIMARY].top) == (5, 8)
    assert (ranges[Part.SUPPLEMENTARY].bottom, ranges[Part.SUPPLEMENTARY].top) == (8, 10)
    assert (ranges[Part.ISOLATION].bottom, ranges[Part.ISOLATION].top) == (8, 12)
    assert one_step_up((20, 20), usual_range(Part.PRIMARY, Measure.SECONDS).step) == (25, 20)
