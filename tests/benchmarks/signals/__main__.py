"""Print the table: ``python -m tests.benchmarks.signals [--clients 12] [--only NAME ...]``.

``--clients`` is the number of clients of each kind, in training and in testing. ``--limit``
adds what a detector could do that is told how the clients are made; it takes a second or two a
client.
"""

import argparse
import time
from collections.abc import Sequence

from tests.benchmarks.signals.ability_model import AbilityModel
from tests.benchmarks.signals.detector import Detector
from tests.benchmarks.signals.oracle import Oracle
from tests.benchmarks.signals.report import Row, judge, show
from tests.benchmarks.signals.simple_rules import SIMPLE_RULES, STALL_RULES
from tests.benchmarks.signals.simulator import cohort

TRAINING_FROM, TESTING_FROM = 1000, 9000


def all_detectors() -> list[Detector]:
    """Every detector that the table knows; a new one is added here."""
    return [*SIMPLE_RULES, *STALL_RULES, AbilityModel()]


def main(arguments: Sequence[str] | None = None) -> None:
    """Simulate, judge and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.signals")
    parser.add_argument("--clients", type=int, default=12, help="clients of each kind")
    parser.add_argument("--only", nargs="*", default=[], help="parts of detectors' names")
    parser.add_argument("--limit", action="store_true", help="add what is possible at best")
    given = parser.parse_args(arguments)
    started = time.perf_counter()
    training = cohort(range(TRAINING_FROM, TRAINING_FROM + given.clients))
    testing = cohort(range(TESTING_FROM, TESTING_FROM + given.clients))
    chosen = [d for d in all_detectors() if not given.only or any(o in d.name for o in given.only)]
    if given.limit:
        chosen += [Oracle(), Oracle.of([*training, *testing])]
    rows: list[Row] = [judge(detector, training, testing) for detector in chosen]
    print(show(rows, testing))  # noqa: T201
    print(f"{time.perf_counter() - started:.0f} s")  # noqa: T201


if __name__ == "__main__":
    main()
