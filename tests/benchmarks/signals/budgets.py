"""What each budget of false alarms asks for and finds: where ``numbers.WATCHFULNESS`` is from.

``python -m tests.benchmarks.signals.budgets [--clients 24]``. Two halves of the clients are used in
turn to choose the threshold and to judge it; the threshold printed is the mean of both.
"""

import argparse
from collections.abc import Sequence
from math import exp

from tests.benchmarks.signals.ability_model import AbilityModel
from tests.benchmarks.signals.scoring import (
    Decide,
    Read,
    choose_threshold,
    read_all,
    score_detection,
)
from tests.benchmarks.signals.simulator import cohort

BUDGETS = (0.25, 0.5, 1.0, 2.0, 4.0)


def line(halves: tuple[Sequence[Read], Sequence[Read]], budget: float) -> str:
    """Threshold [probability], shares found within 7 and 14 days, false alarms a year."""
    odds, within_7, within_14, false, episodes = 0.0, 0.0, 0.0, 0.0, 0
    for known, judged in (halves, halves[::-1]):
        threshold = choose_threshold(known, Decide.SESSION, budget)
        found = score_detection(judged, threshold, Decide.SESSION)
        odds += threshold / 2
        within_7 += (found.within_7 or 0) * found.episodes
        within_14 += (found.within_14 or 0) * found.episodes
        false += found.false_a_year / 2
        episodes += found.episodes
    chance = 1 / (1 + exp(-odds))
    return (
        f"{budget:5.2f} {chance:10.3f} {within_7 / episodes:6.2f} "
        f"{within_14 / episodes:6.2f} {false:8.2f}"
    )


def main(arguments: Sequence[str] | None = None) -> None:
    """Simulate, read and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.signals.budgets")
    parser.add_argument("--clients", type=int, default=24, help="clients of each kind")
    given = parser.parse_args(arguments)
    half = given.clients // 2
    first, second = cohort(range(5000, 5000 + half)), cohort(range(7000, 7000 + half))
    halves = read_all(AbilityModel(), first), read_all(AbilityModel(), second)
    print("budget  threshold    7 d   14 d  false/y")  # noqa: T201
    for budget in BUDGETS:
        print(line(halves, budget))  # noqa: T201


if __name__ == "__main__":
    main()
