"""The course of ability over time, for charts: each exercise in kg, and what all share in per cent.

Told twice: as known *then*, from what had been logged by that day, and as known *now*, with
everything logged since.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from math import exp, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from coaching.rules.ability import Ability, Remembered
from coaching.rules.ability_state import FORM
from coaching.rules.belief_bank import Numbers, smooth
from coaching.rules.fall_hypotheses import SHARED
from coaching.rules.forecast_numbers import BAND_WIDER
from coaching.rules.log import LoggedSession

IN_BAND = 0.9
"""How much of what is believed a band holds."""
SPREADS = NormalDist().inv_cdf((1 + IN_BAND) / 2)


@dataclass(frozen=True, slots=True)
class Band:
    """The middle of what is believed, and the ends of the band that holds it nine times in ten."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class LevelOn:
    """One exercise on a day it was trained [kg]: what it could move once, or hold for a second.

    ``unshared`` is the middle as known now without what all exercises share.
    """

    on: date
    then: Band
    now: Band
    unshared: float


@dataclass(frozen=True, slots=True)
class SharedOn:
    """What all exercises share on the day of a session, form and fall [per cent of strength]."""

    on: date
    then: Band
    now: Band


@dataclass(frozen=True, slots=True)
class AbilityCourse:
    """Each exercise's course by key, and what all share; oldest first."""

    exercises: Mapping[str, tuple[LevelOn, ...]]
    shared: tuple[SharedOn, ...]

    def since(self, first: date) -> "AbilityCourse":
        """The same from a day on; exercises that were done before it only are left out."""
        lately = {
            key: tuple(one for one in c if one.on >= first) for key, c in self.exercises.items()
        }
        shared = tuple(one for one in self.shared if one.on >= first)
        return AbilityCourse({key: course for key, course in lately.items() if course}, shared)


def ability_course(sessions: Iterable[LoggedSession]) -> AbilityCourse:
    """How strong a client was over the days of those sessions, oldest first.

    A level is what the client could do on an ordinary day: the exercise's own level with
    the form and the falls of that day, without the noise of the day. As known then it is the mean
    over all falls that were held possible on that day. As known now each fall is smoothed by
    itself and counts by what is known of it at the end of the log; one that was over or too
    old to be followed any longer counts by what was known of it last. The band holds what is
    uncertain within each of them and what lies between them. A fall that only later came to
    be possible may so make the band of a day wider than it was then.
    """
    ability = Ability(keeps_course=True)
    for session in sessions:
        ability.take(session)
    if not ability.course:
        return AbilityCourse({}, ())
    exercises: dict[str, list[LevelOn]] = {}
    shared = []
    afterwards = smooth([one.moment for one in ability.course])
    for one, later in zip(ability.course, afterwards, strict=True):
        moment = one.moment
        then = _Belief(one, moment.mean, moment.cov, moment.weights, one.fall, one.of)
        of = later.hypothesis
        now = _Belief(one, later.mean, later.cov, later.weights, one.fall[of], one.of[of])
        shared.append(SharedOn(one.on, _percent(then.shared()), _percent(now.shared())))
        for key, place in one.places.items():
            unshared = exp(now.level(place, unshared=True)[0])
            level = LevelOn(one.on, _kg(then.level(place)), _kg(now.level(place)), unshared)
            exercises.setdefault(key, []).append(level)
    return AbilityCourse({key: tuple(course) for key, course in exercises.items()}, tuple(shared))


_Normal = tuple[float, float]


@dataclass(frozen=True)
class _Belief:
    """A mixture of Gaussian beliefs on one day, each with a fall of its own beside it."""

    one: Remembered
    mean: Numbers
    cov: Numbers
    weights: Numbers
    fall: Numbers
    of: NDArray[np.int_]

    def shared(self) -> _Normal:
        """Form and shared fall: mean and standard deviation [log share]."""
        return self._of((FORM,), np.where(self.of == SHARED, self.fall, 0.0))

    def level(self, place: int, *, unshared: bool = False) -> _Normal:
        """One exercise with all that moves it, or with its own fall only [log kg]."""
        own = np.where(self.of == place, self.fall, 0.0)
        if unshared:
            return self._of((place,), own)
        return self._of((place, FORM), own + np.where(self.of == SHARED, self.fall, 0.0))

    def _of(self, places: tuple[int, ...], fall: Numbers) -> _Normal:
        values = self.mean[:, places].sum(axis=1) + fall
        middle = float(self.weights @ values)
        between = float(self.weights @ (values - middle) ** 2)
        within = float(self.cov[np.ix_(places, places)].sum())
        return middle, sqrt(max(0.0, within) + between)


def _kg(belief: _Normal) -> Band:
    middle, spread = belief
    wide = BAND_WIDER.value * SPREADS * spread
    return Band(exp(middle - wide), exp(middle), exp(middle + wide))


def _percent(belief: _Normal) -> Band:
    band = _kg(belief)
    return Band(*(100 * (end - 1) for end in (band.low, band.middle, band.high)))
