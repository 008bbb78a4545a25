"""Trend statistics against published worked examples."""

import pytest

from coaching.rules.trends import chance_of_rise, mann_kendall, theil_sen

# US EPA QA/G-9S (2006), Mann-Kendall example with ties: S = 22, Var = 155.33, Z = 1.685.
EPA_WITH_TIES = (10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15)
# Helsel & Hirsch, ch. 10, Theil-Sen example; the data are from memory.
HELSEL_HIRSCH = (1, 2, 3, 4, 5, 16, 7)


def test_mann_kendall_with_ties_agrees_with_the_epa():
    trend = mann_kendall(EPA_WITH_TIES)

    assert trend.s == 22
    assert trend.variance == pytest.approx(155.333, abs=5e-4)
    assert trend.z == pytest.approx(1.68495, abs=5e-6)
    assert trend.p_value == pytest.approx(0.0920, abs=5e-5)


def test_the_exact_chance_of_a_small_series_agrees_with_the_epa():
    trend = mann_kendall((5, 6, 11, 8, 10))

    assert trend.s == 6
    assert chance_of_rise(trend.s, 5) == pytest.approx(14 / 120)


def test_the_theil_sen_line_agrees_with_helsel_and_hirsch():
    line = theil_sen(range(1, 8), HELSEL_HIRSCH)

    assert line is not None
    assert line.slope == 1.0
    assert line.intercept == 0.0
    assert mann_kendall(HELSEL_HIRSCH).z == pytest.approx(2.7034, abs=5e-5)
    assert 2 * chance_of_rise(19, 7) == pytest.approx(0.00278, abs=5e-6)


def test_a_mistyped_value_does_not_move_the_theil_sen_line():
    line = theil_sen(range(1, 8), (1, 2, 3, 4, 5, 200, 7))

    assert line == theil_sen(range(1, 8), HELSEL_HIRSCH)


def test_the_theil_sen_line_with_ties_has_the_epa_slope():
    line = theil_sen(range(11), EPA_WITH_TIES)

    assert line is not None
    assert (line.slope, line.intercept) == (1.0, 10.0)


@pytest.mark.parametrize("values", [(), (1.0,), (2.0, 2.0)])
def test_short_and_flat_series_have_no_trend(values):
    assert mann_kendall(values).z == 0
    assert theil_sen([0.0] * len(values), values) is None
