"""What is believed of the states a set depends on if day and occasion are ordinary ones.

Both are kept wide while a session is read, for what happens now and then; how likely a bound was
and how near to failure a set went is judged by what mostly is the case.
"""

from dataclasses import dataclass
from math import log

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
from coaching.rules.belief_bank import Mostly, Numbers

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
        bank = state.bank
        places = [place, FORM, DAY, OCCASION, TIRING, BIAS]
        believed, cov = bank.mean[:, places], bank.cov[places][:, places]
        mean, chance = believed, np.ones(len(believed))
        for at, scale, wide, often in (
            (OF_OCCASION, state.exercise_noise, BAD_EXERCISE, n.ABILITY_BAD_EXERCISES.value),
            (OF_DAY, state.day_noise, BAD_DAY, n.ABILITY_BAD_DAYS.value),
        ):
            narrow = min(scale.variance, wide / 2)
            extra = 1 / (1 / narrow - 1 / wide)
            across, variance = cov[at], float(cov[at, at]) + extra
            off = mean[:, at]
            odds = log((1 - often) / often) + log(wide / narrow * extra / variance) / 2
            chance = chance / (1 + np.exp(off * off / (2 * variance) - odds))
            pull = across / variance
            mean = mean - off[:, None] * pull
            cov = cov - pull[:, None] * across
        best = bank.likeliest
        expected = believed[best] + chance[best] * (mean[best] - believed[best])
        return cls(expected, best, Mostly(mean, cov, chance))
