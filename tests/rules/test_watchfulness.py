"""The choices of how watchful to be hang together, whatever the bench measured."""

from itertools import pairwise

import pytest

from coaching.rules.watchfulness import USUAL_BUDGET, budgets, choices, threshold_for


def test_a_coach_can_choose_from_a_quarter_to_four_false_alarms():
    assert budgets() == (0.25, 0.5, 1, 2, 4)
    assert USUAL_BUDGET in budgets()


def test_a_larger_budget_says_it_at_less_and_finds_more_and_sooner():
    for small, large in pairwise(choices()):
        assert large.threshold < small.threshold
        assert large.within_14 > small.within_14
        assert large.within_7 > small.within_7


def test_every_figure_is_a_share_and_two_weeks_find_what_one_week_found():
    for one in choices():
        assert 0 < one.threshold < 1
        assert 0 <= one.within_7 <= one.within_14 <= 1


def test_the_words_tell_the_choices_apart():
    words = [one.words for one in choices()]

    assert len(set(words)) == len(words)


def test_each_budget_has_its_threshold():
    assert [threshold_for(one.budget) for one in choices()] == [o.threshold for o in choices()]


@pytest.mark.parametrize("budget", [0, 0.3, 3, 5, -1, float("nan")])
def test_no_threshold_is_guessed_for_a_budget_that_was_not_measured(budget):
    with pytest.raises(ValueError, match=r"only 0\.25, 0\.5, 1, 2, 4"):
        threshold_for(budget)
