"""Robust trend and change statistics for short series of training data.

Theil-Sen and Mann-Kendall do not mind a mistyped session.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import erfc, sqrt
from statistics import median


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line through the medians: units a step of x, and the value at x = 0."""

    slope: float
    intercept: float


def theil_sen(x: Sequence[float], y: Sequence[float]) -> Line | None:
    """The median of all slopes between two points, or no answer below two different x.

    Source: Helsel & Hirsch, Statistical Methods in Water Resources, ch. 10.

    >>> theil_sen(range(7), [1, 2, 3, 4, 5, 16, 7])
    Line(slope=1.0, intercept=1.0)
    """
    points = list(zip(x, y, strict=True))
    slopes = [(d - b) / (c - a) for (a, b), (c, d) in combinations(points, 2) if c != a]
    if not slopes:
        return None
    slope = median(slopes)
    return Line(slope, median(y) - slope * median(x))


@dataclass(frozen=True, slots=True)
class Trend:
    """Mann-Kendall: rises minus falls, its variance, its normal score, two-sided chance."""

    s: int
    variance: float
    z: float
    p_value: float


def mann_kendall(y: Sequence[float]) -> Trend:
    """Whether a series rises or falls, by counting pairs; ties are allowed.

    Source: epa-g9s, with the usual correction for ties and continuity.

    >>> mann_kendall([5, 6, 11, 8, 10]).s
    6
    """
    s = sum((b > a) - (b < a) for a, b in combinations(y, 2))
    n = len(y)
    tied = sum(t * (t - 1) * (2 * t + 5) for t in Counter(y).values())
    variance = (n * (n - 1) * (2 * n + 5) - tied) / 18
    step = (s > 0) - (s < 0)
    z = (s - step) / sqrt(variance) if variance > 0 else 0.0
    return Trend(s, variance, z, erfc(abs(z) / sqrt(2)))


def chance_of_rise(s: int, n: int) -> float:
    """Exact chance that ``n`` values without ties and without trend score ``s`` or more.

    >>> round(chance_of_rise(6, 5), 5)
    0.11667
    """
    # ways[k]: orders of the values seen so far with k pairs out of order.
    ways = [1]
    for more in range(1, n):
        ways = [sum(ways[max(0, k - more) : k + 1]) for k in range(len(ways) + more)]
    pairs = n * (n - 1) // 2
    return sum(w for k, w in enumerate(ways) if pairs - 2 * k >= s) / sum(ways)
