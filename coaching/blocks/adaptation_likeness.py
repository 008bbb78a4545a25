"""What is above a client's level, and what stands in for it."""

from collections.abc import Collection

from coaching.blocks.adaptation_values import ClientMeans
from coaching.rules.block_numbers import LEVELS_TOO_FAR
from coaching.rules.joint_limits import is_easier_rung
from coaching.rules.plan import Exercise


def is_above(asked: Exercise, means: ClientMeans) -> bool:
    """Whether an exercise is above the client's level, with no goal on it and never planned."""
    if asked.key in means.goals or asked.key in means.planned:
        return False
    return means.level_of(asked) > means.level


def in_level(
    asked: Exercise, found: Collection[Exercise], means: ClientMeans, taken: Collection[str]
) -> Exercise | None:
    """The highest easier rung of the client's level; else, far above it, what is most alike."""
    easier = [one for one in found if is_easier_rung(one, asked)]
    fresh = [one for one in easier if one.key not in taken] or easier
    if fresh:
        return max(fresh, key=lambda one: one.rung)
    if means.level_of(asked) - means.level < LEVELS_TOO_FAR.value:
        return None
    return next(iter(found), None)
