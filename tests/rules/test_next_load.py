"""How heavy the next load is: against published relations and formulas worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.next_load import load_for, reps_expected, step_to, system_load_for
from coaching.rules.plan import LoadKind, Plane
from tests.rules.examples import make_exercise, make_pull_up

curl = make_exercise(
    "curl", load_kind=LoadKind.EXTERNAL, body_share=0, plane=Plane.NONE, multi_joint=False
)


def test_the_load_is_reckoned_on_system_mass_and_not_on_the_added_kilograms():
    # Brzycki 1993 (brzycki-1993), worked by hand: 80 kg body + 20 kg at 5 reps is a system
    # maximum of 112.5 kg, so a single is +32.5 kg. Epley 1985 is higher by its 1 rep = 103.3 %:
    # 116.67 / 1.0333 = 112.90. The careful one of the two is Brzycki's.
    press = make_exercise("press", load_kind=LoadKind.ADDED, body_share=1)

    single = system_load_for(press, reps=5, wanted=1, system=80 + 20)

    assert single == pytest.approx(112.5)
    assert step_to(press, 20, 32.5, 5, 80).expected == pytest.approx(1)


@pytest.mark.parametrize(
    ("reps", "brzycki", "epley"),
    [(2, 102.857, 106.667), (3, 105.882, 110.000), (5, 112.500, 116.667), (8, 124.138, 126.667)],
)
def test_repetitions_expected_agree_with_the_printed_factors(reps, brzycki, epley):
    # Factors 1RM = load x factor / 100 (brzycki-1993, epley-1985): from 10 reps at 100 kg, both
    # 133.333, the load at which each formula gives `reps` is 133.333 / factor.
    by_brzycki, by_epley = 100 * 133.333 / brzycki, 100 * 133.333 / epley

    limit = system_load_for(curl, reps=10, wanted=reps, system=100)

    assert limit == pytest.approx(min(by_brzycki, by_epley), abs=0.01)


@pytest.mark.parametrize(("change", "factor"), [(1.10, 0.47053), (1.05, 0.67982)])
def test_pull_ups_fall_with_total_mass_as_measured(change, factor):
    # Vanderburgh & Edmonds 1997 (vanderburgh-1997): reps go with mass^-7.91;
    # 10 % more mass, 53 % fewer pull-ups.
    expected = reps_expected(make_pull_up(), 10, 80, 80 * change)

    assert expected == pytest.approx(10 * factor, abs=1e-3)


@given(st.integers(5, 10), st.integers(1, 5), st.floats(20, 200))
def test_the_load_for_so_many_reps_expects_so_many_reps(reps, wanted, system):
    for exercise in (make_pull_up(), curl):
        load = system_load_for(exercise, reps, wanted, system)

        assert reps_expected(exercise, reps, system, load) >= wanted - 1e-6


def test_the_load_is_the_hardest_that_fits_but_one_step_at_least():
    pull_up = make_pull_up()

    fitting = load_for((pull_up, 0), 8, 5, (0, 1, 2, 3, 4, 5, 6), 80)
    too_big = load_for((pull_up, 0), 8, 5, (0, 10, 20), 80)

    assert fitting is not None
    assert fitting.load == 4
    assert too_big is not None
    assert too_big.load == 10
    assert too_big.is_big


def test_ten_percent_itself_is_no_big_jump():
    assert not step_to(curl, 10, 11, 8, 80).is_big
    assert step_to(curl, 10, 11.25, 8, 80).is_big
