"""From a set to the strength it shows and back: repetitions by Epley, holds by their seconds.

Strength is told as the natural logarithm of the system load [kg] that could be moved once.
"""

from dataclasses import dataclass
from math import exp, log

import numpy as np
from numpy.typing import NDArray

from coaching.rules.ability_numbers import HOLD_GRAIN
from coaching.rules.numbers import HOLD_STRENGTH_SHARE, ONE_RM_LINES
from coaching.rules.plan import Measure

_EPLEY = ONE_RM_LINES.value("Epley", "n")
_LEAST = 1.0
# Strength is not followed beyond what repetitions could say anything of.
_MOST = 4.0


@dataclass(frozen=True, slots=True)
class Curve:
    """How many repetitions or seconds a share of strength buys.

    >>> reps = Curve(Measure.REPS)
    >>> round(reps.amount(reps.strength(8)), 6)
    8.0
    """

    measure: Measure

    def strength(self, amount: float) -> float:
        """Log strength above the system load that an amount to failure shows."""
        if self.measure is Measure.REPS:
            return log(1 + amount / _EPLEY)
        return HOLD_STRENGTH_SHARE.value * log(max(_LEAST, amount))

    def amount(self, strength: float) -> float:
        """Repetitions or seconds to failure [1 or more] that a log strength allows."""
        kept = min(strength, _MOST)
        if self.measure is Measure.REPS:
            return max(_LEAST, _EPLEY * (exp(kept) - 1))
        return max(_LEAST, exp(kept / HOLD_STRENGTH_SHARE.value))

    def strengths(self, amounts: NDArray[np.float64]) -> NDArray[np.float64]:
        """The same as ``strength`` for many amounts, down to nothing."""
        if self.measure is Measure.REPS:
            return np.log1p(amounts / _EPLEY)
        return HOLD_STRENGTH_SHARE.value * np.log(np.maximum(amounts, np.finfo(float).tiny))

    def amounts(self, strengths: NDArray[np.float64]) -> NDArray[np.float64]:
        """The same as ``amount`` for many strengths, down to nothing: who cannot move it does none."""
        kept = np.minimum(strengths, _MOST)
        if self.measure is Measure.REPS:
            return np.maximum(0.0, _EPLEY * np.expm1(kept))
        return np.exp(kept / HOLD_STRENGTH_SHARE.value)

    def slope(self, amount: float) -> float:
        """What one more repetition or second is worth in log strength."""
        if self.measure is Measure.REPS:
            return 1 / (_EPLEY + amount)
        return HOLD_STRENGTH_SHARE.value / max(_LEAST, amount)

    def grain(self, amount: float) -> float:
        """What counts as one repetition: for a hold a tenth of it, 1 s or more."""
        return 1.0 if self.measure is Measure.REPS else max(_LEAST, HOLD_GRAIN.value * amount)
