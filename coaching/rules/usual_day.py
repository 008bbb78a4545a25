"""What is believed of the states a set depends on if day and occasion are ordinary ones.

Both are kept wide while a session is read, for what happens now and then; how likely a bound was
and how near to failure a set went is judged by what mostly is the case.
"""

from dataclasses import dataclass
from math import exp, log

import numpy as np

from coaching.rules import ability_numbers as n
from coaching.rules.ability_state import (
    BAD_DAY,
    BAD_EXERCISE,
    BIAS,
    DAY,
    FORM,
    OCCASION,
    TIRING,
    AbilityState,
)
from coaching.rules.belief_bank import SUREST, Mostly, Numbers

# The order of the states in the row of a set.
OF_DAY, OF_OCCASION, OF_TIRING, OF_BIAS = 2, 3, 4, 5


@dataclass(frozen=True, slots=True)
class UsualDay:
    """Level, form, day, occasion, tiring and bias.

    ``expected`` is what the likeliest hypothesis expects (6,), ``best`` its number; ``mostly`` is
    what all believe if day and occasion are ordinary, and the chance of that.
    """

    expected: Numbers
    best: int
    mostly: Mostly

    @classmethod
    def of(cls, state: AbilityState, place: int) -> "UsualDay":
        """The same from the state, for the exercise at a place."""
        bank, best = state.bank, state.bank.likeliest
        places = [place, FORM, DAY, OCCASION, TIRING, BIAS]
        cov = bank.cov.take(places, 0).take(places, 1)
        off, pulls, variances, odds = bank.mean[:, [OCCASION, DAY]], [], [], []
        for at, scale, wide, often in (
            (OF_OCCASION, state.exercise_noise, BAD_EXERCISE, n.ABILITY_BAD_EXERCISES.value),
            (OF_DAY, state.day_noise, BAD_DAY, n.ABILITY_BAD_DAYS.value),
        ):
            narrow = min(scale.variance, wide / 2)
            extra = 1 / (1 / narrow - 1 / wide)
            variance = float(cov[at, at]) + extra
            odds.append(log((1 - often) / often) + log(wide / narrow * extra / variance) / 2)
            pull = cov[at] / variance
            cov = cov - pull[:, None] * cov[at]
            pulls.append(pull)
            variances.append(variance)
        # A day is judged once what is the occasion's own has been taken off it.
        off[:, 1] -= off[:, 0] * pulls[0][OF_DAY]
        mostly = Mostly(off, np.array(pulls), np.array(variances), np.array(odds), cov)
        ordinary = 1.0
        for far, variance, odd in zip(off[best].tolist(), variances, odds, strict=True):
            ordinary /= 1 + exp(min(far * far / (2 * variance) - odd, SUREST))
        less = ordinary * (off[best] @ mostly.pull)
        return cls(bank.mean[best, places] - less, best, mostly)
