"""What a light week may ask of an exercise that fell short: from the last sets, not from the plan.

A light week keeps the load of what goes as planned. Where the last sets fell short it leaves the
reserve from what was done, and takes a lighter load where that would be too few repetitions.
Common practice, no source, beside the numbers it uses; the load is a careful guess (``next_load``).
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import ceil, floor

from coaching.rules.log import LoggedSet
from coaching.rules.next_load import reps_expected
from coaching.rules.numbers import DELOAD_REP_FLOOR, DELOAD_RESERVE
from coaching.rules.plan import Exercise, LoadKind, Measure, Prescription
from coaching.rules.volume import system_load


@dataclass(frozen=True, slots=True)
class Able:
    """What can be done to failure at a load [kg], set by set as they were done.

    ``is_hold`` says that these are seconds.
    """

    load: float
    sets: tuple[int, ...]
    is_hold: bool = False

    @property
    def most(self) -> int:
        """The most that a set of a light week may hold.

        With the reserve left; where no load is light enough for that, half of what can be done.
        """
        poorest = min(self.sets)
        half = max(1, ceil(DELOAD_REP_FLOOR.value * poorest))
        return half if self.is_hold else max(half, poorest - int(DELOAD_RESERVE.value))

    def reserve(self, targets: Sequence[int]) -> int:
        """What so many sets leave in reserve, at the least."""
        poorest = min(self.sets[: len(targets)])
        return max(0, poorest - max(targets, default=0))


def able_now(
    asked: Prescription,
    done: Sequence[LoggedSet],
    loads: Collection[float],
    body_weight: float,
    at_most: float | None = None,
) -> Able | None:
    """The load and the repetitions for a light week; none when the last sets went as planned.

    Args:
        asked: What the usual week asks.
        done: The last sets of the exercise.
        loads: What the equipment makes [kg].
        body_weight: Of the client [kg].
        at_most: A load [kg] that is not to be gone above, none without one.
    """
    own = (one for one in done if one.exercise.key == asked.exercise.key and not one.warm_up)
    work = sorted(own, key=lambda one: one.number)
    if not any(_is_short(one, asked) for one in work):
        return None
    if asked.exercise.measure is Measure.SECONDS:
        return Able(asked.load, tuple(one.amount for one in work), is_hold=True)
    least = ceil(DELOAD_REP_FLOOR.value * min(one for one in asked.targets if one > 0))
    wanted = least + int(DELOAD_RESERVE.value)
    possible = _down(asked, loads)
    if at_most is not None:
        heavier = {one for one in possible if _is_lighter(asked.exercise, at_most, one)}
        possible = [one for one in possible if one not in heavier] or [at_most]
    found = [Able(load, _at(asked, work, load, body_weight)) for load in possible]
    return next((one for one in found if min(one.sets) >= wanted), found[-1])


def _is_short(one: LoggedSet, asked: Prescription) -> bool:
    """Whether a set says that the plan asks too much: missed, done lighter, or with less left."""
    if one.target is not None and one.amount < one.target:
        return True
    less_left = one.rir is not None and asked.rir is not None and one.rir < asked.rir
    return less_left or _is_lighter(asked.exercise, one.load, asked.load)


def _is_lighter(exercise: Exercise, one: float, other: float) -> bool:
    return one > other if exercise.load_kind is LoadKind.ASSISTED else one < other


def _down(asked: Prescription, loads: Collection[float]) -> list[float]:
    """The load as asked, then every lighter one, the hardest first."""
    lighter = [one for one in loads if _is_lighter(asked.exercise, one, asked.load)]
    is_help = asked.exercise.load_kind is LoadKind.ASSISTED
    return [asked.load, *sorted(lighter, reverse=not is_help)]


def _at(
    asked: Prescription, work: Sequence[LoggedSet], load: float, body_weight: float
) -> tuple[int, ...]:
    """What those sets come to at a load, each taken to failure."""
    exercise = asked.exercise
    now = system_load(exercise, load, body_weight)
    found = []
    for one in work:
        reps = one.amount + (one.rir or 0)
        was = system_load(exercise, one.load, body_weight)
        same = one.load == load or reps < 1 or min(was, now) <= 0
        found.append(reps if same else floor(reps_expected(exercise, reps, was, now)))
    return tuple(found)
