"""What the oracle believes of one exercise, and what a session's sets teach it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import exp, sqrt

import numpy as np
from numpy.typing import NDArray

from tests.benchmarks.signals.oracle_sets import Habits, Set, Told, exercise_likelihood
from tests.benchmarks.signals.simulator import LEARNING, UNLEARNED

Grid = NDArray[np.float64]
# Grids: shared deviation of a day, and strength around an exercise's belief [log share].
SHARED = np.arange(-0.26, 0.141, 0.01)
STRENGTH = np.arange(-0.5, 0.401, 0.0125)
WIDE = 0.05  # share of days and exercises with two and a half times the noise
# Of a client's gain: the share of time that an exercise is not stalled, and how far exercises
# differ around that, stalls included.
GAINING = 0.6
GAIN_DIFFERS = 0.65
_WALK = 0.0025  # a week


@dataclass
class Belief:
    """One exercise: level by hypothesis, gain a week, and their common spread."""

    level: Grid  # [hypotheses]
    gain: Grid  # [hypotheses]
    spread: float  # variance of the level
    both: float  # covariance of level and gain
    gain_spread: float  # variance of the gain
    last: date
    sessions: int = 0
    is_new: bool = False

    def ahead(self, on: date, usual_gain: float) -> None:
        """Move the belief to a day."""
        weeks = (on - self.last).days / 7
        self.last = on
        self.level = self.level + self.gain * weeks
        if self.is_new:
            n = self.sessions
            self.level = self.level + UNLEARNED * (exp(-(n - 1) / LEARNING) - exp(-n / LEARNING))
        self.spread += 2 * weeks * self.both + weeks**2 * self.gain_spread + weeks * _WALK**2
        self.both += weeks * self.gain_spread
        # Gains drift, and stop in a stall: they return to the client's usual in some weeks.
        keep = exp(-weeks / 8)
        self.gain = GAINING * usual_gain + keep * (self.gain - GAINING * usual_gain)
        self.both *= keep
        differ = (GAIN_DIFFERS * usual_gain) ** 2
        self.gain_spread = keep**2 * self.gain_spread + (1 - keep**2) * differ

    def learn(self, shift: Grid, spread: float) -> None:
        """Take in a session: by how much the level moved, and its variance after."""
        share = self.both / self.spread
        self.level = self.level + shift
        self.gain = self.gain + share * shift
        ratio = min(1.0, max(0.05, spread / self.spread))
        self.gain_spread -= share * self.both * (1 - ratio)
        self.both *= ratio
        self.spread *= ratio
        self.sessions += 1


def is_rated(key: str) -> bool:
    """Whether an exercise is no prehab."""
    return not key.startswith(("external-rotation", "face-pull", "wall-slide"))


@dataclass(frozen=True)
class Place:
    """Where on an exercise's table each hypothesis and deviation lies."""

    low: NDArray[np.int_]
    part: Grid


@dataclass(frozen=True)
class Table:
    """What one exercise's sets say, for each strength that was expected of them."""

    key: str
    centre: float
    evidence: Grid  # log likelihood
    shift: Grid  # by how much the level moves
    square: Grid  # its mean square
    spread: float
    left: Grid  # repetitions in reserve, all sets together
    sets: int
    rated: bool

    @classmethod
    def make(
        cls,
        key: str,
        belief: Belief,
        weights: Grid,
        told: Told,
        habits: Habits,
        sets: Sequence[Set],
        rest: float,
        *,
        easy: bool,
    ) -> "Table":
        """Sum the strength of the day out, for every strength that could be expected."""
        centre = float((weights * belief.level).sum())
        endurance = told.endurance_of.get(key, told.endurance)
        likelihood, left = exercise_likelihood(
            STRENGTH + centre,
            sets,
            rest,
            replace(told, endurance=endurance),
            habits,
            easy=easy,
        )
        away = STRENGTH[None, :] - STRENGTH[:, None]  # strength of the day less expected
        total = np.zeros_like(away)
        moved = np.zeros_like(away)
        squared = np.zeros_like(away)
        usual = told.exercise_noise
        jump = 0.07**2
        for share, noise, level in (
            (0.945, usual, belief.spread),
            (WIDE, 2.5 * usual, belief.spread),
            (0.005, usual, belief.spread + jump),
        ):
            variance = level + noise**2
            like = share * np.exp(-0.5 * away**2 / variance) / sqrt(variance)
            kept = level / variance
            total += like
            moved += like * kept * away
            squared += like * ((kept * away) ** 2 + level * noise**2 / variance)
        evidence = total @ likelihood + 1e-300
        return cls(
            key=key,
            centre=centre,
            evidence=np.log(evidence),
            shift=(moved @ likelihood) / evidence,
            square=(squared @ likelihood) / evidence,
            spread=belief.spread,
            left=(total @ (likelihood * left)) / evidence,
            sets=len(sets),
            rated=is_rated(key),
        )

    def places(self, level: Grid) -> Place:
        """Where level plus deviation lies on the grid [hypotheses x SHARED]."""
        step = STRENGTH[1] - STRENGTH[0]
        where = (level[:, None] + SHARED[None, :] - self.centre - STRENGTH[0]) / step
        where = np.clip(where, 0, len(STRENGTH) - 1.001)
        low = where.astype(int)
        return Place(low, where - low)

    def at(self, table: Grid, place: Place) -> Grid:
        """A table read at places."""
        found: Grid = (1 - place.part) * table[place.low] + place.part * table[place.low + 1]
        return found

    def teach(self, belief: Belief, place: Place, posterior: Grid, weights: Grid) -> None:
        """Move the belief by what the sets said, summed over the deviations of the day."""
        shift = (posterior * self.at(self.shift, place)).sum(axis=1)
        square = (posterior * self.at(self.square, place)).sum(axis=1)
        spread = float((weights * (square - shift**2)).sum())
        belief.learn(shift, max(spread, 1e-5))
