"""How many sets of a plan count, for each muscle and for each side: the one place that says it.

A set counts that asks for something, outside the warm-up. A muscle gets the share of a set that
the exercise gives it.
"""

from collections.abc import Collection, Iterable

from coaching.rules.plan import Muscle, Part, Pattern, Plane, Prescription

NOT_COUNTED = frozenset({Part.WARM_UP})

MuscleSets = dict[Muscle, float]
SideSets = dict[tuple[Pattern, Plane], int]


def counted(one: Prescription) -> int:
    """The sets of a line that ask for something."""
    return one.sets - one.targets.count(0)


def muscle_sets(
    lines: Iterable[Prescription], *, without: Collection[Part] = NOT_COUNTED
) -> MuscleSets:
    """The sets that each muscle gets [fractional sets]; lines of the parts ``without`` give none."""
    found: MuscleSets = {}
    for one in lines:
        if one.part in without or not (sets := counted(one)):
            continue
        for share in one.exercise.muscles:
            if share.share > 0:
                found[share.muscle] = found.get(share.muscle, 0.0) + share.share * sets
    return found


def side_sets(lines: Iterable[Prescription]) -> SideSets:
    """The sets of each pattern and plane."""
    found: SideSets = {}
    for one in lines:
        if one.part not in NOT_COUNTED:
            side = one.exercise.pattern, one.exercise.plane
            found[side] = found.get(side, 0) + counted(one)
    return found


def pushes_and_pulls(sides: SideSets) -> tuple[int, int]:
    """The sets that push and those that pull."""
    push = pull = 0
    for (pattern, _), sets in sides.items():
        if pattern is Pattern.PUSH:
            push += sets
        elif pattern is Pattern.PULL:
            pull += sets
    return push, pull


def lean(sides: SideSets) -> int:
    """By how many sets more is pushed than pulled, or the other way."""
    push, pull = pushes_and_pulls(sides)
    return abs(push - pull)
