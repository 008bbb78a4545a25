"""A linear Gaussian filter and smoother that takes one number at a time.

Plain linear algebra without training in it: a state with mean and covariance, what time does
to it, and what one scalar observation says of it. Observations that only bound a value from
below are taken by matching the moments of the cut-off normal distribution.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import erfc, exp, log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]


@dataclass
class Belief:
    """Mean (n,) and covariance (n, n) of a state."""

    mean: Vector
    cov: Matrix

    def copy(self) -> "Belief":
        """The same belief in arrays of its own."""
        return Belief(self.mean.copy(), self.cov.copy())


@dataclass(frozen=True)
class Step:
    """What time does: the state is multiplied by ``turn`` (n, n) and gets ``noise`` (n, n)."""

    turn: Matrix
    noise: Matrix


def predict(belief: Belief, step: Step) -> Belief:
    """The belief after time has passed."""
    return Belief(step.turn @ belief.mean, step.turn @ belief.cov @ step.turn.T + step.noise)


def observe(belief: Belief, row: Vector, value: float, noise: float) -> float:
    """Take one measured value into the belief, in place; returns its log likelihood.

    Args:
        belief: Changed.
        row: How the value depends on the state (n,).
        value: What was measured.
        noise: Variance of the measurement, above 0.
    """
    across = belief.cov @ row
    variance = float(row @ across) + noise
    surprise = value - float(row @ belief.mean)
    belief.mean += across * (surprise / variance)
    belief.cov -= np.outer(across, across) / variance
    return -0.5 * (log(2 * pi * variance) + surprise * surprise / variance)


def observe_at_least(belief: Belief, row: Vector, bound: float, noise: float) -> float:
    """Take in that a value is at least ``bound``; returns the log of how likely that was."""
    across = belief.cov @ row
    variance = float(row @ across) + noise
    spread = sqrt(variance)
    z = (float(row @ belief.mean) - bound) / spread
    ratio, chance = hazard(z)
    belief.mean += across * (ratio / spread)
    belief.cov -= np.outer(across, across) * (ratio * (ratio + z) / variance)
    return chance


def hazard(z: float) -> tuple[float, float]:
    """Density over probability of the normal below ``z``, and the log of that probability."""
    if z < -8:
        # Far below, the ratio runs into its asymptote -z.
        ratio = -z - 1 / z
        return ratio, -0.5 * z * z - 0.5 * log(2 * pi) - log(ratio)
    below = 0.5 * erfc(-z / sqrt(2))
    return exp(-0.5 * z * z) / sqrt(2 * pi) / below, log(below)


def smooth(filtered: Sequence[Belief], steps: Sequence[Step]) -> list[Belief]:
    """What is known of every moment afterwards, by the backward pass of Rauch, Tung and Striebel.

    Args:
        filtered: The belief at each moment after its observations.
        steps: What time did between one moment and the next; one fewer.
    """
    known = [filtered[-1].copy()]
    for belief, step in zip(reversed(filtered[:-1]), reversed(steps), strict=True):
        ahead = predict(belief, step)
        gain = np.linalg.solve(ahead.cov.T, step.turn @ belief.cov).T
        later = known[-1]
        known.append(
            Belief(
                belief.mean + gain @ (later.mean - ahead.mean),
                belief.cov + gain @ (later.cov - ahead.cov) @ gain.T,
            )
        )
    return known[::-1]
