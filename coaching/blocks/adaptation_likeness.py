"""Which exercise stands in best where equipment or level, not a joint, rules one out."""

from collections import defaultdict
from collections.abc import Collection, Iterable

from coaching.blocks.adaptation_values import ClientMeans
from coaching.rules.block_numbers import LEVELS_TOO_FAR
from coaching.rules.joint_limits import Sparing, is_easier_rung, sparing
from coaching.rules.plan import EquipmentKind, Exercise, LoadKind, Muscle

_LOADABLE = frozenset({LoadKind.ADDED, LoadKind.EXTERNAL})
_LOADS_JOINT = frozenset({Sparing.SWAP_LOADS_IT, Sparing.RUNG_LOADS_IT})


def most_alike(
    asked: Exercise, found: Iterable[Exercise], means: ClientMeans, taken: Collection[str]
) -> list[Exercise]:
    """What may stand in, the most alike in work and difficulty first; no joint asks for less.

    What loads nothing limited comes first, then the same plane and joint actions, then what can
    be loaded as well and without a band, then what is nearest in level and coordination: for a
    strong client's squat one on a single leg, not a squat with nothing. Of two as near, what the
    client has done before comes first. What the session has already comes last.
    """
    watched = {limit.stress for limit in means.limits}
    is_loadable = asked.load_kind in _LOADABLE

    def unlike(one: Exercise) -> tuple[float, ...]:
        return (
            one.key in taken,
            sparing(asked, one, means.limits) in _LOADS_JOINT,
            not watched.isdisjoint(one.joint_stresses),
            one.plane is not asked.plane,
            len(set(asked.joint_actions) - set(one.joint_actions)),
            one.multi_joint is not asked.multi_joint,
            one.measure is not asked.measure,
            is_loadable and one.load_kind not in _LOADABLE,
            _by_band(one) and not _by_band(asked),
            is_loadable and one.load_kind is not asked.load_kind,
            _apart(asked, one, means),
            -means.level_of(one),
            one.key not in means.planned,
            _muscles_apart(asked, one),
            len(set(one.joint_actions) - set(asked.joint_actions)),
            not is_easier_rung(one, asked),
        )

    return sorted(found, key=unlike)


def _by_band(exercise: Exercise) -> bool:
    return EquipmentKind.BANDS in exercise.equipment


def _muscles_apart(asked: Exercise, one: Exercise) -> float:
    """How much of a set goes to other muscles, summed over all of them."""
    shares: dict[Muscle, float] = defaultdict(float)
    for share in asked.muscles:
        shares[share.muscle] += share.share
    for share in one.muscles:
        shares[share.muscle] -= share.share
    return sum(map(abs, shares.values()))


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
    return next(iter(most_alike(asked, found, means, taken)), None)


def _apart(asked: Exercise, one: Exercise, means: ClientMeans) -> int:
    """Steps of level and coordination between two, as far as the client's level goes."""
    wanted = min(means.level_of(asked), means.level)
    return abs(means.level_of(one) - wanted) + abs(one.complexity - asked.complexity)
