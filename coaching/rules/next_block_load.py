"""The load that an exercise begins with in the place of another: only its own log tells it.

How strong somebody is on one exercise says too little of another, so there is no conversion
between exercises here; between numbers of repetitions of one exercise there are published ones.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from coaching.rules.next_load import load_words, system_load_for
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import Exercise, LoadKind, Measure
from coaching.rules.progression_words import amounts, day
from coaching.rules.volume import system_load

_GRAIN = 1e-9
"""So little too much is none, but the rounding of the computer."""


@dataclass(frozen=True, slots=True)
class DoneBefore:
    """How an exercise was last done, set by set: repetitions or seconds, loads [kg], worst pain."""

    on: date
    amounts: tuple[int, ...]
    loads: tuple[float, ...]
    pain: int = 0

    @property
    def hurt(self) -> bool:
        """Whether it hurt above the limit."""
        return self.pain > PAIN_LIMIT.value

    @property
    def load(self) -> float:
        """The load of its first set [kg]."""
        return self.loads[0]

    @property
    def least(self) -> int:
        """The fewest repetitions or seconds with that load."""
        sets = zip(self.amounts, self.loads, strict=True)
        return min(amount for amount, load in sets if load == self.load)


@dataclass(frozen=True, slots=True)
class Beginning:
    """The load to begin with [kg], and where it comes from."""

    load: float
    words: str


def beginning(
    exercise: Exercise,
    done: DoneBefore,
    wanted: int,
    loads: Sequence[float],
    body_weight: float | None,
) -> Beginning | None:
    """The load of an exercise that was done before, never heavier than it was done with then.

    For more repetitions than were done it is lighter, by the more careful of Epley and Brzycki.
    None where the log does not tell it: the equipment makes nothing so light, or it was held
    for fewer seconds than are wanted.

    Args:
        exercise: The exercise that comes in.
        done: How it was last done.
        wanted: Repetitions or seconds that each set is to begin with, 1 or more.
        loads: What the equipment makes [kg].
        body_weight: Weight of the client [kg], none when it is not known.
    """
    assisted = exercise.load_kind is LoadKind.ASSISTED
    fitting = [one for one in loads if (one >= done.load if assisted else one <= done.load)]
    told = f" It was last done on {day(done.on)}, {amounts(done.amounts, exercise.measure)} at "
    told += f"{load_words(exercise, done.load)}"
    if done.least < wanted:
        most = _most(exercise, done, wanted, body_weight)
        if most is None:
            return None
        fitting = [one for one in fitting if _moved(exercise, one, body_weight) <= most + _GRAIN]
        told += f"; for {wanted} reps it is lighter, by the more careful of Epley and Brzycki"
    if not fitting:
        return None
    best = min(fitting) if assisted else max(fitting)
    return Beginning(best, f"{told}.")


def _most(
    exercise: Exercise, done: DoneBefore, wanted: int, body_weight: float | None
) -> float | None:
    """What the muscles may move for so many repetitions [kg]; none when nothing tells it."""
    if exercise.measure is not Measure.REPS or done.least < 1:
        return None
    moved = _moved(exercise, done.load, body_weight)
    return system_load_for(exercise, done.least, wanted, moved) if moved > 0 else None


def _moved(exercise: Exercise, load: float, body_weight: float | None) -> float:
    """What the muscles move [kg]; 0 when that is not known."""
    if not body_weight:
        return 0.0 if exercise.body_share else exercise.added_share * load
    return system_load(exercise, load, body_weight)
