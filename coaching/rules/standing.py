"""Where a client begins with an exercise of a new plan: where it stood when it was last done.

The load for the plan's repetitions follows from the client's own sets, by the most careful of the
published relations. Where no load can be made for them, the client's own repetitions are the
beginning, within the range of the part: fewer at the same load would be a step back.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from statistics import fmean

from coaching.rules.next_load import load_words, system_load_for
from coaching.rules.numbers import HOLD_SIMPLE, LOAD_JUMP, MOST_ABOVE_TOP, ONE_RM_LAST_REPS
from coaching.rules.plan import Exercise, Level, LoadKind, Measure, Part
from coaching.rules.rep_range import range_for
from coaching.rules.stair import usual_range
from coaching.rules.volume import system_load

_GRAIN = 1e-9
"""So little too much is none, but the rounding of the computer."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How an exercise was last done, or planned where nothing was logged, with one load [kg]."""

    on: date
    amounts: tuple[int, ...]
    load: float
    hurt: bool = False
    is_logged: bool = True

    @property
    def usual(self) -> int:
        """What a set came to on average, rounded down."""
        return int(fmean(self.amounts))

    def own(self, sets: int) -> tuple[int, ...]:
        """So many sets, none above what was done by then."""
        kept = list(accumulate(self.amounts, min))
        return tuple(kept[min(place, len(kept) - 1)] for place in range(sets))

    def words(self, exercise: Exercise) -> str:
        """8-8-7-7-7 at body weight on 20 Nov."""
        day = f"{self.on.day} {self.on:%b}"
        when = f"on {day}" if self.is_logged else f"as planned for {day}"
        return f"{sets_words(self.amounts, exercise)} {at_words(exercise, self.load)} {when}"


@dataclass(frozen=True, slots=True)
class Beginning:
    """The load [kg] to begin with, and by how much each set's target goes up or down with it."""

    load: float
    shifts: tuple[int, ...] = ()
    is_easier: bool = False
    """Whether it is less than what was done, as the range of the part ends there."""


def begins(
    exercise: Exercise,
    standing: Standing,
    asked: tuple[Sequence[int], int],
    loads: Sequence[float],
    body_weight: float | None,
    most: int | None,
) -> Beginning:
    """Where the exercise begins in a plan.

    Never heavier than the client's own sets tell, nor by more than a step that would be named as
    big; after pain not heavier at all.

    Args:
        exercise: The exercise.
        standing: How it was last done.
        asked: The targets of the first week, and the highest of all weeks at that load.
        loads: What the equipment makes [kg].
        body_weight: Weight of the client [kg], none when it is not known.
        most: Up to where own repetitions or seconds stay, none without an end.
    """
    targets, highest = asked
    load = _load(exercise, standing, highest, loads, body_weight)
    if load is not None and load != standing.load:
        return Beginning(load)
    own = standing.own(len(targets))
    up = load is not None
    wanted = [
        max(target, done if most is None else min(done, most)) if up or done > target else done
        for target, done in zip(targets, own, strict=True)
    ]
    shifts = tuple(now - target for now, target in zip(wanted, targets, strict=True))
    is_easier = any(now < done for now, done in zip(wanted, own, strict=True))
    return Beginning(standing.load, shifts if any(shifts) else (), is_easier)


def most_of(part: Part, measure: Measure, level: Level) -> int:
    """Where the range of a part ends for a client: repetitions or seconds."""
    if measure is Measure.SECONDS:
        return usual_range(part, measure).top
    return range_for(part, level).top


def own_most_of(exercise: Exercise, part: Part, level: Level) -> int | None:
    """Up to where the client's own targets stay: as far above the range as nothing is told of it.

    A simple hold, such as a plank, has no end of its own.
    """
    if exercise.measure is Measure.SECONDS:
        is_simple = exercise.complexity <= HOLD_SIMPLE.value
        return None if is_simple else most_of(part, exercise.measure, level)
    return most_of(part, exercise.measure, level) + int(MOST_ABOVE_TOP.value)


def _load(
    exercise: Exercise,
    standing: Standing,
    wanted: int,
    loads: Sequence[float],
    body_weight: float | None,
) -> float | None:
    """The hardest load that makes so many likely; none where it is not told or cannot be made."""
    done = _moved(exercise, standing.load, body_weight)
    limit = _limit(exercise, standing, wanted, done)
    if limit is None:
        return standing.load if wanted <= standing.usual else None
    moved = {one: _moved(exercise, one, body_weight) for one in {*loads, standing.load}}
    fitting = [one for one, kg in moved.items() if 0 < kg <= limit + _GRAIN]
    return max(fitting, key=lambda one: moved[one], default=None)


def _limit(exercise: Exercise, standing: Standing, wanted: int, done: float) -> float | None:
    """The most that the muscles may move for so many [kg]; none when nothing tells it."""
    told = exercise.measure is Measure.REPS and exercise.load_kind is not LoadKind.NONE
    if not told or done <= 0 or not 1 <= wanted <= ONE_RM_LAST_REPS.value or not standing.usual:
        return None
    limit = system_load_for(exercise, standing.usual, wanted, done)
    return min(limit, done * (1 if standing.hurt else 1 + LOAD_JUMP.value))


def _moved(exercise: Exercise, load: float, body_weight: float | None) -> float:
    """What the muscles move [kg]; 0 when that is not known."""
    if not body_weight:
        return 0.0 if exercise.body_share else exercise.added_share * load
    return system_load(exercise, load, body_weight)


def sets_words(amounts: Sequence[int], exercise: Exercise) -> str:
    """Targets as they are written: 5 × 5, 8-8-7-7-7, 3 × 30 s."""
    unit = "" if exercise.measure is Measure.REPS else " s"
    if len(set(amounts)) == 1:
        return f"{len(amounts)} × {amounts[0]}{unit}"
    return "-".join(map(str, amounts)) + unit


def at_words(exercise: Exercise, load: float) -> str:
    """At +7.5 kg, at body weight; with 10 kg of help."""
    joined = "with" if exercise.load_kind is LoadKind.ASSISTED and load else "at"
    return f"{joined} {load_words(exercise, load)}"
