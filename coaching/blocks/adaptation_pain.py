"""What comes into a client's plan in the place of what loads a joint that hurt lately."""

from collections.abc import Callable

from coaching.blocks.adaptation_values import ClientMeans
from coaching.rules.joint_limits import is_easier_rung
from coaching.rules.pain_reach import (
    Hurt,
    Reach,
    may_step_back_to,
    reach,
    reaching,
    steps_back,
)
from coaching.rules.plan import Exercise, Part


def below_what_hurts(
    given: Exercise, part: Part, means: ClientMeans, is_free: Callable[[Exercise], bool]
) -> tuple[Exercise, str] | None:
    """The highest easier rung of what hurt, or of the exercise itself, and why.

    None where nothing that hurt lately reaches the exercise alike, or no such rung is free.
    """
    reached = reaching(given, means.pains)
    if reached is None or not steps_back(given, part, means.pains):
        return None
    hurt = reached[1]
    below = [one for one in means.candidates if _is_below(one, given, hurt, means) and is_free(one)]
    if not below:
        return None
    why = f"{hurt.exercise.name} hurt {hurt.pain} of 10 on {hurt.on.day} {hurt.on:%b}"
    return max(below, key=lambda one: one.rung), why


def _is_below(one: Exercise, given: Exercise, hurt: Hurt, means: ClientMeans) -> bool:
    """Whether it is an easier rung of the same pattern, and loads less of what hurt."""
    is_easier = is_easier_rung(one, hurt.exercise) or is_easier_rung(one, given)
    is_less = reach(hurt, one) is not Reach.ALIKE and may_step_back_to(one, means.pains)
    return is_easier and is_less and one.pattern is given.pattern
