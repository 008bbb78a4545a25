"""Best sets in words; each expected line was read off the sets by hand."""

import doctest
from datetime import date

import pytest

from sessions import best_results
from sessions.best_results import How, Result, best_words, by_load, load_of

TODAY = date(2026, 11, 27)
OCT, NOV = date(2026, 10, 6), date(2026, 11, 3)


def test_the_examples_in_the_docstrings_hold():
    result = doctest.testmod(best_results)

    assert (result.failed, result.attempted) == (0, 4)


@pytest.mark.parametrize(
    ("how", "sets", "words"),
    [
        (How("reps", "none"), [(8, 0), (12, 0)], ["Most reps in a set: 12 on 3 Nov"]),
        (
            How("reps", "assisted"),
            [(9, 20), (5, 10)],
            [
                "Most reps in a set: 9 at 20 kg of help on 6 Oct",
                "Least help: 10 kg for 5 reps on 3 Nov",
            ],
        ),
        (
            How("seconds", "external", each_side=True),
            [(40, 12), (1, 20)],
            [
                "Longest hold: 40 s each side at 12 kg on 6 Oct",
                "Heaviest: 20 kg for 1 s each side on 3 Nov",
            ],
        ),
        (How("reps", "added"), [(7, 5), (0, 20)], ["Most reps in a set: 7 at +5 kg on 6 Oct"]),
        (How("reps", "added"), [], []),
    ],
    ids=["no load", "help", "hold", "a try that failed", "nothing"],
)
def test_the_best_of_some_sets(how, sets, words):
    days = (OCT, NOV)
    results = [Result(n, kg, on) for (n, kg), on in zip(sets, days[: len(sets)], strict=True)]

    assert list(best_words(results, how, TODAY)) == words


def test_of_equal_results_the_first_day_counts():
    again = [Result(12, 5.0, NOV), Result(12, 5.0, OCT)]

    assert best_words(again, How("reps", "added"), TODAY) == (
        "Most reps in a set: 12 at +5 kg on 6 Oct",
    )


def test_each_load_has_its_own_best_and_the_hardest_stands_first():
    sets = [Result(12, 0.0, OCT), Result(9, 5.0, OCT), Result(10, 5.0, NOV), Result(4, 10.0, NOV)]

    added, helped = How("reps", "added"), How("reps", "assisted")

    assert [(load_of(r, added), r.amount) for r in by_load(sets, added)] == [
        ("+10 kg", 4),
        ("+5 kg", 10),
        ("nothing added", 12),
    ]
    assert load_of(by_load(sets, helped)[0], helped) == "no help"
