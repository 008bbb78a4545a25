"""Whether the bands of ability hold what they say, on clients drawn from the model's own beliefs.

``python -m tests.benchmarks.signals.calibration [--clients 40]`` prints, for several habits of
stating reserve, how often the band of an exercise's level holds the level that was drawn, as known
then and as known now, and how far the middle lies off in standard deviations. A model that reckons
rightly shows the share its bands are made for, 0 and 1; Talts et al. 2018, "Validating Bayesian
inference algorithms with simulation-based calibration", is the idea (title from memory).
"""

import argparse
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import log
from statistics import NormalDist, fmean, pstdev

from coaching.rules.ability_course import IN_BAND, Band, ability_course
from tests.rules.drawn_client import drawn_client

RESERVES = (1.0, 0.7, 0.3, 0.0)
_SPREADS = NormalDist().inv_cdf((1 + IN_BAND) / 2)


@dataclass(frozen=True)
class Calibration:
    """Share inside the band, and mean and spread of the distance in standard deviations."""

    inside: float
    middle: float
    spread: float

    @classmethod
    def of(cls, distances: Sequence[float]) -> "Calibration":
        """The same from distances of the truth."""
        inside = fmean(abs(one) <= _SPREADS for one in distances)
        return cls(inside, fmean(distances), pstdev(distances))


def calibration(
    seeds: Iterable[int], *, logs_reserve: float, with_falls: bool = True
) -> tuple[Calibration, Calibration]:
    """How the bands of those clients hold the drawn levels: as known then, as known now."""
    then: list[float] = []
    now: list[float] = []
    for seed in seeds:
        client = drawn_client(seed, logs_reserve=logs_reserve, with_falls=with_falls)
        for key, levels in ability_course(client.sessions).exercises.items():
            for one in levels:
                truth = client.truth[one.on, key]
                then.append(_distance(one.then, truth))
                now.append(_distance(one.now, truth))
    return Calibration.of(then), Calibration.of(now)


def _distance(band: Band, truth: float) -> float:
    spread = (log(band.high) - log(band.low)) / 2 / _SPREADS
    return (truth - log(band.middle)) / spread


def main(arguments: Sequence[str] | None = None) -> None:
    """Draw, follow and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.signals.calibration")
    parser.add_argument("--clients", type=int, default=40, help="clients of each habit")
    given = parser.parse_args(arguments)
    started = time.perf_counter()
    print(f"bands are made for {IN_BAND:.0%}")  # noqa: T201
    for falls in (True, False):
        for reserve in RESERVES:
            found = calibration(range(given.clients), logs_reserve=reserve, with_falls=falls)
            words = f"reserve on {reserve:4.0%} of sets, {'with' if falls else 'no'} falls"
            for name, one in zip(("then", "now"), found, strict=True):
                numbers = f"{one.inside:6.1%}  off {one.middle:+.2f}  spread {one.spread:.2f}"
                print(f"{words:38} known {name:5} {numbers}")  # noqa: T201
    print(f"{time.perf_counter() - started:.0f} s")  # noqa: T201


if __name__ == "__main__":
    main()
