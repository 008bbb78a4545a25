"""Strength on two days beside each other, with what is uncertain of both days together."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import erfc, exp, sqrt

import numpy as np

from coaching.rules.ability import Remembered
from coaching.rules.ability_course import SPREADS, Band
from coaching.rules.ability_state import FORM
from coaching.rules.belief_bank import Hindsight, Numbers, smooth, together
from coaching.rules.fall_hypotheses import SHARED
from coaching.rules.forecast_numbers import BAND_WIDER


@dataclass(frozen=True, slots=True)
class Compared:
    """Strength before, during and after [kg], and the change [per cent of strength before].

    For several exercises together the three are in per cent against before. ``back`` is the
    probability [0-1] that strength after is at least what it was before.
    """

    before: Band
    during: Band
    after: Band
    change: Band
    back: float


class Levels:
    """The days of a course as known at its end."""

    def __init__(self, course: Sequence[Remembered]) -> None:
        """Look back once; each comparison is cheap then. The course must not be empty."""
        self._course = course
        self._moments = [one.moment for one in course]
        self._known = smooth(self._moments)

    def compare(self, places: Sequence[int], before: int, during: int) -> Compared:
        """One exercise, or the middle of several, on those days against the last day.

        Args:
            places: Where the exercises stand among the states.
            before: Which moment of the course is compared with.
            during: Which moment is shown between.
        """
        change, back = self._change(places, before)
        days = [self._on(places, day) for day in (before, during, len(self._course) - 1)]
        if len(places) > 1:
            nought = days[0][0]
            was, light, now = (_percent(middle - nought, spread) for middle, spread in days)
        else:
            was, light, now = (_kg(*day) for day in days)
        return Compared(was, light, now, _percent(*change), back)

    def _on(self, places: Sequence[int], day: int) -> tuple[float, float]:
        known, values = self._known[day], self._values(places, day)
        middle = float(known.weights @ values)
        between = float(known.weights @ (values - middle) ** 2)
        shares = _shares(places, known)
        return middle, sqrt(float(shares @ known.cov @ shares) + between)

    def _values(self, places: Sequence[int], day: int) -> Numbers:
        """Log strength by each way that things may have gone."""
        known, one = self._known[day], self._course[day]
        fall, of = one.fall[known.hypothesis], one.of[known.hypothesis]
        own = np.where(np.isin(of, places), fall / len(places), 0.0)
        level: Numbers = known.mean @ _shares(places, known)
        return level + own + np.where(of == SHARED, fall, 0.0)

    def _change(self, places: Sequence[int], before: int) -> tuple[tuple[float, float], float]:
        """From a day to the last one: mean and spread [log share], and how likely no loss is."""
        first, last = self._known[before], self._known[-1]
        was, now = self._values(places, before), self._values(places, len(self._course) - 1)
        shares, ends = _shares(places, first), _shares(places, last)
        both = float(shares @ together(self._moments[before:]) @ ends)
        within = float(shares @ first.cov @ shares + ends @ last.cov @ ends) - 2 * both
        # A way that was dropped since ends wherever the others end.
        middle = float(last.weights @ now)
        dropped = len(was) - len(now)
        between = float(last.weights @ (now - middle) ** 2)
        spread = np.concatenate([np.zeros(len(now)), np.full(dropped, between)])
        spread = np.sqrt(np.maximum(spread + within, np.finfo(float).tiny))
        changes = np.concatenate([now, np.full(dropped, middle)]) - was
        mean = float(first.weights @ changes)
        off = float(first.weights @ (spread**2 + (changes - mean) ** 2))
        scaled = changes / (BAND_WIDER.value * spread) / sqrt(2)
        back = sum(w * erfc(-z) / 2 for w, z in zip(first.weights, scaled, strict=True))
        return (mean, sqrt(off)), float(back)


def _shares(places: Sequence[int], known: Hindsight) -> Numbers:
    shares = np.zeros(known.mean.shape[1])
    shares[list(places)] = 1 / len(places)
    shares[FORM] = 1
    return shares


def _kg(middle: float, spread: float) -> Band:
    wide = BAND_WIDER.value * SPREADS * spread
    return Band(exp(middle - wide), exp(middle), exp(middle + wide))


def _percent(middle: float, spread: float) -> Band:
    band = _kg(middle, spread)
    return Band(*(100 * (end - 1) for end in (band.low, band.middle, band.high)))
