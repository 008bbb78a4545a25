"""The state behind the model of ability: what is believed of one client, and what time does to it.

The first six states are the client's: *form* (ordinary ups and downs that all exercises
share), how many more repetitions are left than is said, how much a set tires, how high effort is
rated, the day, and the occasion (one exercise on one day). Each exercise adds two: its level
and its gain a week.
"""

from dataclasses import dataclass, field
from math import exp, sqrt

import numpy as np

from coaching.rules import ability_numbers as n
from coaching.rules.ability_sets import Work
from coaching.rules.belief_bank import BeliefBank, Numbers
from coaching.rules.fall_hypotheses import Hypotheses
from coaching.rules.fall_numbers import LOST_A_WEEK_AWAY, LOST_AWAY_SPREAD
from coaching.rules.noise_scale import NoiseScale
from coaching.rules.numbers import ABSENCE_DAYS

FORM, BIAS, TIRING, EFFORT, DAY, OCCASION = range(6)
DAYS_A_WEEK = 7.0
BAD_DAY = n.ABILITY_BAD_DAY.value**2
BAD_EXERCISE = n.ABILITY_BAD_EXERCISE.value**2


@dataclass
class KnownExercise:
    """What is kept of an exercise beside its two states; ``load`` is the last log system load."""

    number: int
    place: int
    last: int
    load: float
    is_new: bool
    times: int = 0


@dataclass
class AbilityState:
    """Beliefs, hypotheses, exercises and noise of one client; days are ordinals.

    ``first`` and ``last`` are the days of sessions, ``returned`` is that after the last absence.
    """

    bank: BeliefBank = field(default_factory=BeliefBank)
    falls: Hypotheses = field(default_factory=Hypotheses)
    known: dict[str, KnownExercise] = field(default_factory=dict)
    first: int = 0
    last: int = 0
    returned: int = 0
    day_noise: NoiseScale = field(
        default_factory=lambda: NoiseScale.of(n.ABILITY_DAY_NOISE.value, 1)
    )
    exercise_noise: NoiseScale = field(
        default_factory=lambda: NoiseScale.of(n.ABILITY_EXERCISE_NOISE.value, 3)
    )
    reserve_noise: NoiseScale = field(
        default_factory=lambda: NoiseScale.of(n.RESERVE_NOISE.value, 2)
    )
    effort_noise: NoiseScale = field(default_factory=lambda: NoiseScale.of(n.EFFORT_NOISE.value, 1))

    def __post_init__(self) -> None:
        """Begin with what is believed of any client."""
        for mean, spread in (
            (0.0, n.ABILITY_FORM_NOISE.value),
            (n.RESERVE_BIAS.value, n.RESERVE_BIAS_SPREAD.value),
            (1.0, n.SET_TIRING_SPREAD.value),
            (n.EFFORT_AT_FAILURE.value, n.EFFORT_OFFSET_SPREAD.value),
            (0.0, n.ABILITY_BAD_DAY.value),
            (0.0, n.ABILITY_BAD_EXERCISE.value),
        ):
            self.bank.grow(mean, spread**2)

    def pass_time(self, gap: float) -> Numbers:
        """Let days go by: form fades, exercises gain, all is known a little less.

        Returns by what the state was multiplied (states, states).
        """
        size, weeks = len(self.bank.cov), gap / DAYS_A_WEEK
        turn, noise = np.eye(size), np.zeros((size, size))
        fades = exp(-gap / n.ABILITY_FORM_DAYS.value)
        turn[FORM, FORM], turn[DAY, DAY], turn[OCCASION, OCCASION] = fades, 0, 0
        noise[FORM, FORM] = n.ABILITY_FORM_NOISE.value**2 * (1 - fades**2)
        noise[BIAS, BIAS] = n.RESERVE_DRIFT.value**2 * weeks
        noise[EFFORT, EFFORT] = n.EFFORT_DRIFT.value**2 * weeks
        noise[DAY, DAY] = BAD_DAY
        for one in self.known.values():
            level, gain = one.place, one.place + 1
            turn[level, gain] = weeks
            noise[level, level] = n.ABILITY_LEVEL_DRIFT.value**2 * weeks
            noise[gain, gain] = n.ABILITY_GAIN_DRIFT.value**2 * weeks
        lost = 0.0
        if gap >= ABSENCE_DAYS.value:
            lost = LOST_A_WEEK_AWAY.value * max(0.0, weeks - 1)
            noise[FORM, FORM] += (LOST_AWAY_SPREAD.value * weeks) ** 2
        self.bank.advance(turn, noise)
        self.bank.mean[:, FORM] -= lost
        return turn

    def meet(self, key: str, work: Work) -> None:
        """Make room for a new exercise; widen what is known of one at another load."""
        one = self.known.get(key)
        if one is None:
            self._welcome(key, work)
            return
        jump = n.ABILITY_JUMP.value * (work.load - one.load)
        self.bank.cov[one.place, one.place] += jump**2
        one.load = work.load
        if one.is_new:
            fades = n.ABILITY_LEARNING.value
            kept = exp(-(one.times - 1) / fades) - exp(-one.times / fades)
            learned = n.ABILITY_LEARNED.value * kept
            self.bank.mean[:, one.place] += n.ABILITY_LEARNED_SURELY.value * learned
            unsure = n.ABILITY_LEARNED_UNSURELY.value * learned
            self.bank.cov[one.place, one.place] += unsure**2

    def _welcome(self, key: str, work: Work) -> None:
        begun = work.sets[0]
        left = n.ABILITY_NEW_RESERVE.value
        could = begun.amount + left if begun.could is None else begun.could
        level = begun.system + work.curve.strength(could)
        place = self.bank.grow(level, n.ABILITY_NEW.value**2)
        self.bank.grow(n.ABILITY_GAIN.value, n.ABILITY_GAIN_SPREAD.value**2)
        self.known[key] = KnownExercise(
            number=len(self.known),
            place=place,
            last=self.last,
            load=work.load,
            is_new=self.last - self.first > n.ABILITY_KNOWN_EXERCISES.value,
        )

    @property
    def habits(self) -> dict[str, tuple[float, str]]:
        """What has been learned of this client, in words, with units: for whoever asks why."""
        mean = self.bank.weights @ self.bank.mean
        return {
            "repetitions left beyond those said": (float(mean[BIAS]), "reps"),
            "tires from set to set": (float(mean[TIRING]), "times the usual client"),
            "rates a session to failure": (float(mean[EFFORT]), "session RPE"),
            "an ordinary day lies off by": (sqrt(self.day_noise.variance), "share of strength"),
            "one exercise lies off by": (sqrt(self.exercise_noise.variance), "share of strength"),
            "stated reserve lies off by": (sqrt(self.reserve_noise.variance), "reps"),
            "a rating lies off by": (sqrt(self.effort_noise.variance), "session RPE"),
        }
