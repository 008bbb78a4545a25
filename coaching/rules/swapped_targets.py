"""With which targets an exercise begins in the place of another. Common practice, no source."""

from collections.abc import Sequence

from coaching.rules.numbers import HOLD_SECONDS_PER_REP
from coaching.rules.plan import Exercise, Measure, Part
from coaching.rules.stair import start_of


def converted_targets(targets: Sequence[int], before: Measure, after: Measure) -> tuple[int, ...]:
    """Targets of another exercise: repetitions become seconds of a hold, or the other way.

    >>> converted_targets((8, 8), Measure.REPS, Measure.SECONDS)
    (32, 32)
    """
    if before is after:
        return tuple(targets)
    seconds = HOLD_SECONDS_PER_REP.value
    if after is Measure.SECONDS:
        return tuple(round(target * seconds) for target in targets)
    return tuple(max(1, round(target / seconds)) for target in targets)


def swapped_targets(
    targets: Sequence[int], asked: Exercise, given: Exercise, part: Part
) -> tuple[int, ...]:
    """Repetitions, or seconds, of an exercise in the place of another, one a set.

    As many as before of the same kind; of a harder exercise no more than where its targets
    begin in that part of the session, as on a step up to a harder rung.
    """
    found = converted_targets(targets, asked.measure, given.measure)
    if given.measure is not asked.measure or not _is_harder(asked, given):
        return found
    first = start_of(part, given)
    return tuple(min(one, first) for one in found)


def _is_harder(asked: Exercise, given: Exercise) -> bool:
    """On one ladder the rung says it; else how hard it is to coordinate."""
    if asked.ladder and asked.ladder == given.ladder:
        return given.rung > asked.rung
    return given.complexity > asked.complexity
