"""How few sets an exercise keeps, and how many it gets, where a set is given or taken. Common practice."""

from math import ceil

from coaching.rules.block_numbers import (
    SHORTER_FEWEST_SETS,
    SHORTER_PREHAB_SHARE,
    SHORTER_PRIMARY_SETS,
)
from coaching.rules.numbers import PLANNED_DOSE
from coaching.rules.plan import Part


def fewest_sets(part: Part, had: int) -> int:
    """The fewest sets that an exercise keeps that had so many, if it is not left out.

    >>> fewest_sets(Part.PRIMARY, 5), fewest_sets(Part.ISOLATION, 4), fewest_sets(Part.PREHAB, 5)
    (3, 2, 3)
    """
    if part is Part.PREHAB:
        return ceil(SHORTER_PREHAB_SHARE.value * had)
    least = SHORTER_PRIMARY_SETS if part is Part.PRIMARY else SHORTER_FEWEST_SETS
    return int(least.value)


def fewest_by_steps(part: Part) -> int:
    """The same where sets go one at a time, and how many there were first is not known.

    Prehab is taken to have had the sets that it usually has.

    >>> fewest_by_steps(Part.PRIMARY), fewest_by_steps(Part.PREHAB)
    (3, 2)
    """
    return fewest_sets(part, int(PLANNED_DOSE.rows[part.value][0]))


def most_sets() -> int:
    """Up to how many sets an exercise is given more: those that primary work usually has.

    >>> most_sets()
    5
    """
    return int(PLANNED_DOSE.rows[Part.PRIMARY.value][0])
