"""One set: what it takes out of the next ones, how many repetitions it gets, what is said of it."""

from collections.abc import Iterator, Sequence
from math import exp

import numpy as np

from coaching.rules.plan import Part
from tests.benchmarks.signals.people import Person, Reserve
from tests.benchmarks.signals.programme import RESTS

# What a set to failure takes out of the following ones [log share of repetitions]: one part
# passes with rest, one stays for the session. Chosen so that four sets at 8RM to failure give
# the totals of Willardson & Burkett 2005 for rests of 1, 2 and 5 minutes.
FAST_LOSS = 0.9
SLOW_LOSS = 0.12
FAST_SECONDS = 90.0
NEARNESS = 3.0


def reps_to_failure(
    fresh: float, amounts: Sequence[int | None], rest: float, fatigue: float = 1.0
) -> list[float]:
    """How many repetitions each set could have had, without noise.

    Args:
        fresh: Repetitions to failure of the first set.
        amounts: What is done in each set, none to go on to failure.
        rest: Between sets of this exercise [s].
        fatigue: The client's own factor.
    """
    fast = slow = 0.0
    could = []
    for amount in amounts:
        now = fresh * exp(-(fast + slow))
        could.append(now)
        done = int(now) if amount is None else amount
        fast, slow = tire(fast, slow, done / max(int(now), 1), rest, fatigue)
    return could


def tire(
    fast: float, slow: float, nearness: float, rest: float, fatigue: float
) -> tuple[float, float]:
    """The two parts of tiredness before the next set, after one that went so near to failure."""
    hard = fatigue * min(1.0, nearness) ** NEARNESS
    return (fast + FAST_LOSS * hard) * exp(-rest / FAST_SECONDS), slow + SLOW_LOSS * hard


def rest_between_sets(part: Part, *, paired: bool) -> float:
    """Seconds between two sets of one exercise; in a pair the other one is done in between."""
    return 2.0 * RESTS[part] + 40 if paired else float(RESTS[part])


class Noise:
    """Random numbers drawn in bulk, handed out one at a time."""

    def __init__(self, random: np.random.Generator, size: int = 4096) -> None:
        self._random = random
        self._size = size
        self._normal: Iterator[float] = iter(())
        self._uniform: Iterator[float] = iter(())

    def normal(self) -> float:
        for value in self._normal:
            return value
        self._normal = iter(self._random.standard_normal(self._size).tolist())
        return self.normal()

    def uniform(self) -> float:
        for value in self._uniform:
            return value
        self._uniform = iter(self._random.random(self._size).tolist())
        return self.uniform()

    def tailed(self, spread: float) -> float:
        """Mostly normal; one in twenty is two and a half times as wide."""
        wide = 2.5 if self.uniform() < 0.05 else 1.0
        return spread * wide * self.normal()


def repetitions_done(
    most: int, asked: int, target: int, *, open_end: bool, person: Person, noise: Noise
) -> int:
    """Repetitions done in a set of which ``most`` were possible."""
    if open_end:
        return min(most, 30)
    if most >= target:
        return min(most, asked)
    early = most > 1 and noise.uniform() < person.leaves
    return most - 1 if early else most


def said_reserve(left: int, *, last: bool, part: Part, person: Person, noise: Noise) -> int | None:
    """What a client logs as reserve: about one too few, worse the more are left."""
    habit = person.reserve
    if habit is Reserve.NONE or part is Part.PREHAB or (habit is Reserve.LAST and not last):
        return None
    if habit is Reserve.SOME and noise.uniform() < 0.5:
        return None
    # Hackett 2017: about one repetition off when 0 to 5 are left, above two when 7 to 10 are.
    spread = person.reserve_noise * (1 + 0.3 * left)
    return int(np.clip(round(left - person.reserve_bias + spread * noise.normal()), 0, 10))
