"""The arithmetic of targets: one step up the stair, an even spread, ranges of repetitions."""

from collections.abc import Sequence
from dataclasses import dataclass

from coaching.rules.numbers import (
    HOLD_LONGEST,
    HOLD_SHORTEST,
    HOLD_SIMPLE,
    HOLD_SIMPLE_START,
    HOLD_STEP,
    ISOLATION_FEWEST,
    ISOLATION_MOST,
    PACING_DROP,
    PREHAB_REPS,
    PRIMARY_FEWEST,
    PRIMARY_MOST,
    SUPPLEMENTARY_FEWEST,
    SUPPLEMENTARY_MOST,
)
from coaching.rules.plan import Exercise, Measure, Part
from coaching.rules.register import Number

_BY_PART: dict[Part, tuple[Number, Number]] = {
    Part.WARM_UP: (PREHAB_REPS, PREHAB_REPS),
    Part.PRIMARY: (PRIMARY_FEWEST, PRIMARY_MOST),
    Part.SUPPLEMENTARY: (SUPPLEMENTARY_FEWEST, SUPPLEMENTARY_MOST),
    Part.ISOLATION: (ISOLATION_FEWEST, ISOLATION_MOST),
    Part.PREHAB: (PREHAB_REPS, PREHAB_REPS),
}


@dataclass(frozen=True, slots=True)
class Range:
    """Where targets move: from ``bottom`` to ``top`` by ``step``, repetitions or seconds."""

    bottom: int
    top: int
    step: int = 1

    def __post_init__(self) -> None:
        """Refuse a range that is none."""
        if not 1 <= self.bottom <= self.top or self.step < 1:
            message = f"A range goes from 1 or more upward, not {self.bottom} to {self.top}."
            raise ValueError(message)


def usual_range(part: Part, measure: Measure) -> Range:
    """The range coaches commonly use in a part of a session (common practice, no source).

    >>> usual_range(Part.PRIMARY, Measure.REPS)
    Range(bottom=5, top=8, step=1)
    """
    if measure is Measure.SECONDS:
        return Range(int(HOLD_SHORTEST.value), int(HOLD_LONGEST.value), int(HOLD_STEP.value))
    bottom, top = _BY_PART[part]
    return Range(int(bottom.value), int(top.value))


def start_of(part: Part, exercise: Exercise) -> int:
    """Where targets begin on an exercise that is new: the fewest repetitions, or seconds.

    A simple hold, such as a plank, begins longer than a lever or a sit on the hands.
    """
    if exercise.measure is Measure.SECONDS and exercise.complexity <= HOLD_SIMPLE.value:
        return int(HOLD_SIMPLE_START.value)
    return usual_range(part, exercise.measure).bottom


def one_step_up(targets: Sequence[int], step: int = 1) -> tuple[int, ...]:
    """The next step of the stair: one set asks one step more, the first of the lowest.

    >>> one_step_up((7, 7, 7, 7, 7)), one_step_up((8, 7, 7, 7, 7))
    ((8, 7, 7, 7, 7), (8, 8, 7, 7, 7))
    """
    lowest = targets.index(min(targets))
    return tuple(one + step if place == lowest else one for place, one in enumerate(targets))


def spread(total: int, sets: int, step: int = 1) -> tuple[int, ...]:
    """Share a total out evenly, longer sets first; every set keeps at least one step.

    >>> spread(32, 5)
    (7, 7, 6, 6, 6)
    """
    each, over = divmod(total // step, sets)
    return tuple(max(step, (each + (place < over)) * step) for place in range(sets))


def in_sets(targets: Sequence[int], sets: int) -> tuple[int, ...]:
    """The same targets in another number of sets: further ones ask what the last one does.

    >>> in_sets((8, 7, 7), 2), in_sets((8, 7, 7), 5)
    ((8, 7), (8, 7, 7, 7, 7))
    """
    return tuple(targets[min(place, len(targets) - 1)] for place in range(sets))


def is_pacing_fault(amounts: Sequence[int], targets: Sequence[int], step: int = 1) -> bool:
    """Whether the sets fell away: first set two or more above the last, beyond what was asked.

    One set alone cannot show it. ``step`` makes the gap seconds for holds.

    >>> is_pacing_fault((9, 8, 6, 5, 4), (7, 7, 7, 7, 7))
    True
    """
    both = min(len(amounts), len(targets))
    if both < 2:
        return False
    asked = targets[0] - targets[both - 1]
    done = amounts[0] - amounts[both - 1]
    return done - max(0, asked) >= PACING_DROP.value * step
