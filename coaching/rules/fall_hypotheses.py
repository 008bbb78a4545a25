"""What may have begun on which day: a fall of all exercises, or a drop of one alone.

Each is a known course of strength that is laid beside the plain belief and weighed by how much
better the log fits it. Days are ordinals of dates; strength is in natural logarithms.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import log

import numpy as np
from numpy.typing import NDArray

from coaching.rules.belief_bank import BeliefBank, Numbers
from coaching.rules.fall_numbers import (
    FALL_DEPTHS,
    FALL_FULL_AFTER,
    FALL_HOPELESS,
    FALL_LONGEST_GAP,
    FALL_OVER_AFTER,
    FALL_RECOVERY,
    FALL_REMEMBERED,
    FALLS_A_YEAR,
    OWN_FALL_DEPTHS,
    OWN_FALL_FULL_AFTER,
    OWN_FALL_HOPELESS,
    OWN_FALLS_A_YEAR,
)

Mask = NDArray[np.bool_]
SHARED = -1
_DAYS_A_YEAR = 365.25
_DEPTHS = np.array(FALL_DEPTHS.rows["all exercises"])
_OWN_DEPTHS = np.array(OWN_FALL_DEPTHS.rows["one exercise"])


@dataclass
class Hypotheses:
    """Onset, depth, ramp, end and exercise of each; number 0 is that nothing fell.

    ``exercise`` is the place of one exercise, or ``SHARED``. ``said`` holds how much each exercise
    has spoken for each hypothesis, against that nothing fell (hypotheses, exercises).
    """

    onset: Numbers = field(default_factory=lambda: np.full(1, np.inf))
    depth: Numbers = field(default_factory=lambda: np.zeros(1))
    ramp: Numbers = field(default_factory=lambda: np.ones(1))
    ended: Numbers = field(default_factory=lambda: np.full(1, np.inf))
    exercise: NDArray[np.int_] = field(default_factory=lambda: np.full(1, SHARED))
    said: Numbers = field(default_factory=lambda: np.zeros((1, 0)))

    def courses(self, day: int) -> Numbers:
        """How far strength has fallen on a day by each hypothesis [log share, 0 or less]."""
        into = np.clip((day - self.onset + 1) / self.ramp, 0, 1)
        after = np.exp(-np.clip(day - self.ended, 0, None) / FALL_RECOVERY.value)
        course: Numbers = -self.depth * into * after
        return course

    @property
    def shared(self) -> Mask:
        """Which of them are falls of all exercises."""
        found: Mask = (self.exercise == SHARED) & np.isfinite(self.onset)
        return found

    def running(self, day: int) -> Mask:
        """Which shared falls have not ended yet."""
        found: Mask = self.shared & (day < self.ended)
        return found

    def end(self, day: int, *, begun_by: int) -> None:
        """Shared falls that had begun by a day are over from ``day`` on."""
        ends = self.shared & ~np.isfinite(self.ended) & (self.onset <= begun_by)
        self.ended[ends] = day

    def begin(
        self, bank: BeliefBank, day: int, gap: float, lately: Mapping[int, int], *, of: int
    ) -> None:
        """Falls that may have begun since the last session.

        Args:
            bank: Gets a belief for each.
            day: Today.
            gap: Days since the last session.
            lately: By place of each exercise of today, days since it was trained.
            of: How many exercises the client trains in these weeks.
        """
        days = min(gap, FALL_LONGEST_GAP.value)
        chance = FALLS_A_YEAR.value / _DAYS_A_YEAR * days / len(_DEPTHS)
        onset = np.full(len(_DEPTHS), day - days / 2)
        self._add(onset, _DEPTHS, FALL_FULL_AFTER.value, np.full(len(_DEPTHS), SHARED))
        weights = [np.full(len(_DEPTHS), log(chance))]
        if lately:
            places = np.tile(np.array(list(lately)), len(_OWN_DEPTHS))
            gaps = np.array(list(lately.values()), dtype=float)
            gaps = np.tile(np.clip(gaps, 1, FALL_LONGEST_GAP.value), len(_OWN_DEPTHS))
            depths = np.repeat(_OWN_DEPTHS, len(lately))
            self._add(day - gaps / 2, depths, OWN_FALL_FULL_AFTER.value, places)
            of_one = OWN_FALLS_A_YEAR.value / _DAYS_A_YEAR / of / len(_OWN_DEPTHS)
            weights.append(np.log(of_one * gaps))
        bank.fork(bank.log_weight[0] + np.concatenate(weights))

    def _add(self, onset: Numbers, depth: Numbers, ramp: float, places: NDArray[np.int_]) -> None:
        count = len(onset)
        self.onset = np.concatenate([self.onset, onset])
        self.depth = np.concatenate([self.depth, depth])
        self.ramp = np.concatenate([self.ramp, np.full(count, ramp)])
        self.ended = np.concatenate([self.ended, np.full(count, np.inf)])
        self.exercise = np.concatenate([self.exercise, places])
        self.said = np.vstack([self.said, np.zeros((count, self.said.shape[1]))])

    def hear(self, number: int, gained: Numbers) -> None:
        """Note what one exercise of today said for each hypothesis.

        Args:
            number: Of the exercise, counted from 0.
            gained: Log weight gained by its sets (hypotheses,).
        """
        missing = number + 1 - self.said.shape[1]
        if missing > 0:
            self.said = np.hstack([self.said, np.zeros((len(self.said), missing))])
        self.said[:, number] += gained - gained[0]

    def without_one(self, bank: BeliefBank, day: int) -> float:
        """Probability of a running shared fall, less what the loudest exercise said for it."""
        running = self.running(day)
        if not running.any() or not self.said.size:
            return 0.0
        left = bank.log_weight[:, None] - self.said
        weights = np.exp(left - left.max(axis=0))
        return float((weights[running].sum(axis=0) / weights.sum(axis=0)).min())

    def prune(self, bank: BeliefBank, day: int) -> Mask:
        """Drop what is hopeless, over, or so old that it is simply what the client can do.

        Returns which were kept.
        """
        own = self.exercise != SHARED
        limit = np.where(own, OWN_FALL_HOPELESS.value, FALL_HOPELESS.value)
        keep: Mask = bank.log_weight > bank.log_weight.max() - limit
        keep &= day - self.onset < FALL_REMEMBERED.value
        keep &= day - self.ended < FALL_OVER_AFTER.value
        keep[0] = True
        for name in ("onset", "depth", "ramp", "ended", "exercise", "said"):
            setattr(self, name, getattr(self, name)[keep])
        bank.keep(keep)
        return keep
