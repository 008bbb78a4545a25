"""How likely an exercise's sets are for each strength of the day: what the oracle is told."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from tests.benchmarks.signals.one_set import FAST_LOSS, FAST_SECONDS, NEARNESS, SLOW_LOSS
from tests.benchmarks.signals.people import Person
from tests.benchmarks.signals.simulator import SimulatedClient

Grid = NDArray[np.float64]
# So many repetitions beyond those done are looked at.
_BEYOND = 14
# An exercise's chance of a typing mistake, times how likely any one wrong entry is.
_MISTYPED = 0.002 * 0.001


@dataclass(frozen=True)
class Told:
    """What the oracle is told of a client; see ``people`` for the words and units."""

    gain: float
    day_noise: float
    exercise_noise: float
    set_noise: float
    wander: float
    fatigue: float
    leaves: float
    reserve_bias: float
    reserve_noise: float
    effort_middle: float
    effort_spread: float
    effort_noise: float
    endurance: float
    endurance_of: Mapping[str, float]


def population() -> Told:
    """What is true of all clients together: the middles of ``people``, spreads widened."""
    return Told(
        gain=0.0035,
        day_noise=0.019,
        exercise_noise=0.03,
        set_noise=0.0125,
        wander=0.0085,
        fatigue=1.0,
        leaves=0.3,
        reserve_bias=0.95,
        reserve_noise=0.95,
        effort_middle=9.3,
        effort_spread=0.7,
        effort_noise=0.75,
        endurance=31.0,
        endurance_of={},
    )


def told_of(client: SimulatedClient) -> Told:
    """One client's own parameters."""
    person: Person = client.person
    return Told(
        gain=person.gain,
        day_noise=person.day_noise,
        exercise_noise=person.exercise_noise,
        set_noise=person.set_noise,
        wander=person.wander,
        fatigue=person.fatigue,
        leaves=person.leaves,
        reserve_bias=person.reserve_bias,
        reserve_noise=person.reserve_noise,
        effort_middle=9.3 + person.effort_offset,
        effort_spread=0.1,
        effort_noise=person.effort_noise,
        endurance=31.0,
        endurance_of=client.endurance,
    )


@dataclass(frozen=True, slots=True)
class Set:
    """One set: repetitions, target, system load [kg], logged reserve."""

    amount: int
    target: int
    system: float
    rir: int | None


@dataclass
class Habits:
    """How often the client goes on past the target where more was possible."""

    past: float = 0.05
    met: float = 2.0

    def see(self, sets: Sequence[Set], *, easy: bool) -> None:
        """Learn from a session."""
        if not easy:
            self.past += sum(s.amount > s.target for s in sets)
            self.met += sum(s.amount >= s.target for s in sets)

    @property
    def goes_on(self) -> float:
        """Chance that a set at its target was ended by failure and not by the target."""
        share = self.past / self.met
        return 0.97 if share > 0.35 else min(0.15, share)


def exercise_likelihood(
    strength: Grid, sets: Sequence[Set], rest: float, told: Told, habits: Habits, *, easy: bool
) -> tuple[Grid, Grid]:
    """Likelihood of all sets on a grid of strength, and the reserve expected in all of them.

    Args:
        strength: Log of the day's maximum [log kg].
        sets: In order.
        rest: Between them [s].
        told: Parameters.
        habits: Whether the client goes on past targets.
        easy: A light week, in which nobody goes on.
    """
    fast = np.zeros_like(strength)
    slow = np.zeros_like(strength)
    total = np.zeros_like(strength)
    left = np.zeros_like(strength)
    goes_on = 0.0 if easy else habits.goes_on
    for one in sets:
        fresh = told.endurance * (np.exp(strength - np.log(one.system)) - 1)
        could = np.clip(fresh, 0, None) * np.exp(-(fast + slow))
        chance, reserve = _set(could, one, told, goes_on)
        total += np.log(chance + 1e-12)
        left += reserve
        near = np.clip(one.amount / np.maximum(np.floor(could), 1), 0, 1)
        hard = told.fatigue * near**NEARNESS
        fast = (fast + FAST_LOSS * hard) * np.exp(-rest / FAST_SECONDS)
        slow = slow + SLOW_LOSS * hard
    likelihood: Grid = np.exp(total) + _MISTYPED
    return likelihood, left


def _set(could: Grid, one: Set, told: Told, goes_on: float) -> tuple[Grid, Grid]:
    """Likelihood of one set where ``could`` repetitions were possible, and its expected reserve."""
    spread = max(0.25, told.endurance * told.set_noise)
    most = one.amount + np.arange(_BEYOND + 1)
    low = np.where(most == 0, -1e9, most.astype(float))
    high = np.where(np.arange(_BEYOND + 1) == _BEYOND, 1e9, most + 1.0)
    # Chance that exactly so many whole repetitions were possible [strength x most].
    possible = ndtr((high - could[:, None]) / spread) - ndtr((low - could[:, None]) / spread)
    ended = np.zeros(_BEYOND + 1)
    if one.amount > one.target:
        ended[0], ended[1:] = 1.0, 0.03 if goes_on > 0.5 else 0.5
    elif one.amount == one.target:
        ended[0], ended[1:] = 1.0, 1 - goes_on
    else:
        leaves = 0.0 if goes_on > 0.5 else told.leaves
        ended[0] = 1 - leaves
        if one.amount + 1 < one.target:
            ended[1] = leaves
        else:
            ended[0] = 1.0
    weighed = possible * ended
    if one.rir is not None:
        weighed = weighed * _said(one.rir, told)
    chance: Grid = weighed.sum(axis=1)
    reserve: Grid = (weighed @ np.arange(_BEYOND + 1.0)) / (chance + 1e-12)
    return chance, reserve


def _said(rir: int, told: Told) -> Grid:
    """Chance that a client says this reserve, for each true one."""
    true = np.arange(_BEYOND + 1.0)
    spread = told.reserve_noise * (1 + 0.3 * true)
    middle = true - told.reserve_bias
    high = 1e9 if rir >= 10 else rir + 0.5
    low = -1e9 if rir <= 0 else rir - 0.5
    chance: Grid = ndtr((high - middle) / spread) - ndtr((low - middle) / spread)
    return 0.97 * chance + 0.03 / 11
