"""Trend statistics against published worked examples."""

import pytest

from coaching.rules.trends import chance_of_rise, mann_kendall, tabular_cusum, theil_sen

# US EPA QA/G-9S (2006), Mann-Kendall example with ties: S = 22, Var = 155.33, Z = 1.685.
EPA_WITH_TIES = (10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15)
# Helsel & Hirsch, ch. 10, Theil-Sen example; the data are from memory.
HELSEL_HIRSCH = (1, 2, 3, 4, 5, 16, 7)
# Montgomery, Introduction to Statistical Quality Control, tables 9.1 and 9.2.
MONTGOMERY = [
    float(value)
    for value in [
        "9.45",
        "7.99",
        "9.29",
        "11.66",
        "12.16",
        "10.18",
        "8.04",
        "11.46",
        "9.20",
        "10.34",
        "9.03",
        "11.47",
        "10.51",
        "9.40",
        "10.08",
        "9.37",
        "10.62",
        "10.31",
        "8.52",
        "10.84",
        "10.90",
        "9.33",
        "12.29",
        "11.50",
        "10.60",
        "11.08",
        "10.38",
        "11.62",
        "11.31",
        "10.52",
    ]
]
MONTGOMERY_ABOVE = [
    float(value)
    for value in [
        "0",
        "0",
        "0",
        "1.16",
        "2.82",
        "2.50",
        "0.04",
        "1.00",
        "0",
        "0",
        "0",
        "0.97",
        "0.98",
        "0",
        "0",
        "0",
        "0.12",
        "0",
        "0",
        "0.34",
        "0.74",
        "0",
        "1.79",
        "2.79",
        "2.89",
        "3.47",
        "3.35",
        "4.47",
        "5.28",
        "5.30",
    ]
]
MONTGOMERY_BELOW = [
    float(value)
    for value in [
        "0.05",
        "1.56",
        "1.77",
        "0",
        "0",
        "0",
        "1.46",
        "0",
        "0.30",
        "0",
        "0.47",
        "0",
        "0",
        "0.10",
        "0",
        "0.13",
        "0",
        "0",
        "0.98",
        "0",
        "0",
        "0.17",
        "0",
        "0",
        "0",
        "0",
        "0",
        "0",
        "0",
        "0",
    ]
]


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


def test_the_cusum_agrees_with_montgomery():
    sums = tabular_cusum(MONTGOMERY, usual=10, slack=0.5)

    assert sums.above == pytest.approx(MONTGOMERY_ABOVE, abs=5e-3)
    assert sums.below == pytest.approx(MONTGOMERY_BELOW, abs=5e-3)
    first = next(i for i, total in enumerate(sums.above, start=1) if total > 5)
    assert first == 29
    assert first - sums.steps_above[first - 1] == 22


@pytest.mark.parametrize("values", [(), (1.0,), (2.0, 2.0)])
def test_short_and_flat_series_have_no_trend(values):
    assert mann_kendall(values).z == 0
    assert theil_sen([0.0] * len(values), values) is None
