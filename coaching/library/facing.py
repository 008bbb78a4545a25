"""What faces an exercise across the spine."""

from collections.abc import Iterable

from coaching.rules.balance import OPPOSED_ACTIONS
from coaching.rules.plan import Exercise, JointAction, Pattern

MOST = 6
"""So many are offered: the rest is a search away."""

ACROSS = {
    Pattern.PUSH: Pattern.PULL,
    Pattern.PULL: Pattern.PUSH,
    Pattern.PREHAB: Pattern.PREHAB,
}
"""The pattern that faces each pattern; legs and core are faced by none."""

_OPPOSITE: dict[JointAction, JointAction] = {
    **dict(OPPOSED_ACTIONS),
    **{second: first for first, second in OPPOSED_ACTIONS},
}


def facing(exercise: Exercise, library: Iterable[Exercise]) -> tuple[Exercise, ...]:
    """The exercises to pair with one, best first: opposed joint actions, then alike to do.

    A push is faced by pulls of its plane and a pull by pushes; prehab by prehab that
    works the other way; legs and core by nothing. Common practice, no source.

    Args:
        exercise: The one to be faced.
        library: What to choose from, in any order; the answer does not depend on it.
    """
    candidates = [other for other in library if _can_face(exercise, other)]
    return tuple(sorted(candidates, key=lambda other: _rank(exercise, other))[:MOST])


def _can_face(exercise: Exercise, other: Exercise) -> bool:
    return (
        other.pattern is ACROSS.get(exercise.pattern)
        and other.plane is exercise.plane
        and other.multi_joint is exercise.multi_joint
        and other.key != exercise.key
        and _opposed(exercise, other) > 0
    )


def _opposed(exercise: Exercise, other: Exercise) -> int:
    return sum(_OPPOSITE.get(one) in other.joint_actions for one in exercise.joint_actions)


def _rank(exercise: Exercise, other: Exercise) -> tuple[int, bool, bool, bool, int, int, str]:
    return (
        -_opposed(exercise, other),
        other.measure is not exercise.measure,
        other.chain is not exercise.chain,
        other.laterality is not exercise.laterality,
        abs(other.complexity - exercise.complexity),
        abs(other.rung - exercise.rung),
        other.key,
    )
