"""Which exercise may stand in for another one, the best first. Common practice, no source.

It is the same wherever one is offered: in the editor, in a remedy, in a template made for a
client, in the next block and on the phone. A stand-in is no diagnosis and no treatment.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from enum import StrEnum

from coaching.rules.block_numbers import FAR_EASIER_SHARE
from coaching.rules.joint_limits import (
    JointLimit,
    LimitAction,
    LimitOverride,
    Sparing,
    blocked_by,
    instead_of,
    is_easier_rung,
    offered,
    regressed_by,
    same_joint,
    sparing,
)
from coaching.rules.loads import can_do
from coaching.rules.next_block_numbers import HARDER_TO_COORDINATE
from coaching.rules.plan import (
    EquipmentKind,
    Exercise,
    JointStress,
    LoadKind,
    Measure,
    Muscle,
    Pattern,
    Plane,
)


class Loading(StrEnum):
    """How an exercise is made heavy."""

    BODY = "body weight"
    LOADED_BODY = "body weight and added load"
    FREE_WEIGHT = "free weights"
    MACHINE = "machine"
    BAND = "band"
    HELPED = "body weight less help"


@dataclass(frozen=True)
class Known:
    """What is known of a client besides joints and equipment.

    ``done`` are the keys of what was planned or done before; ``levels`` the level of each
    exercise by key, counted up from absolute beginner, and ``level`` the client's own.
    """

    done: Collection[str] = ()
    levels: Mapping[str, int] = field(default_factory=dict)
    level: int | None = None


NOTHING = Known()
_LOADS_JOINT = frozenset({Sparing.SWAP_LOADS_IT, Sparing.RUNG_LOADS_IT})
_MACHINES = frozenset({EquipmentKind.CABLE, EquipmentKind.LEG_MACHINE})
_ARMS = frozenset({Pattern.PUSH, Pattern.PULL})
_SKILLS = frozenset({JointStress.SHOULDER_STRAIGHT_ARM, JointStress.NECK})
_BODY = frozenset({Loading.BODY, Loading.LOADED_BODY})
_WEIGHTS = frozenset({Loading.FREE_WEIGHT, Loading.MACHINE})


def stand_ins(
    asked: Exercise,
    candidates: Iterable[Exercise],
    limits: Collection[JointLimit],
    kinds: Collection[EquipmentKind],
    overrides: Collection[LimitOverride] = (),
    known: Known = NOTHING,
) -> tuple[Exercise, ...]:
    """What may be done in place of an exercise, the best first.

    Only what equipment and joints allow, and what trains the same main mover. Where nothing
    does, or a joint asks for the change, what moves alike counts too, as a row for a pull-up.
    Never a jump, a hang head down or a balance, unless the exercise is one itself; of the limbs a
    hold stands in for repetitions only for a joint, or where nothing done in repetitions does. For
    a joint nothing comes in that loads the same joint in another way.
    """
    candidates = tuple(candidates)
    for_joint = is_limited(asked, limits, overrides)
    found = instead_of(asked, candidates, limits, kinds, overrides)
    if not for_joint and not can_do(asked, kinds):
        allowed = offered(candidates, limits, kinds, overrides)
        found = (*found, *(one for one in allowed if _is_as_heavy_a_rung(asked, one)))
    fits = [one for one in found if not kind_apart(asked, one)]
    fits = [one for one in fits if not for_joint or spares_the_joint(asked, one, limits)]
    same = [one for one in fits if _trains_it(asked, one)]
    is_open = for_joint or not same
    akin = [one for one in fits if is_open and one not in same and _is_akin(asked, one)]
    wanted = [*same, *akin] if for_joint else _without_holds(asked, [*same, *akin])
    return tuple(sorted(wanted, key=lambda one: unlike(asked, one, limits, known)))


def left_out(
    asked: Exercise,
    candidates: Iterable[Exercise],
    limits: Collection[JointLimit],
    kinds: Collection[EquipmentKind],
    overrides: Collection[LimitOverride] = (),
) -> tuple[tuple[Exercise, str], ...]:
    """What can be done and trains the same, and yet does not stand in, with what it is."""
    candidates = tuple(candidates)
    given = stand_ins(asked, candidates, limits, kinds, overrides)
    apart = [
        (one, kind_apart(asked, one) or (is_hold_for_reps(asked, one) and "a hold"))
        for one in instead_of(asked, candidates, limits, kinds, overrides)
        if one not in given and _trains_it(asked, one)
    ]
    return tuple((one, word) for one, word in apart if word)


def _without_holds(asked: Exercise, found: Sequence[Exercise]) -> Sequence[Exercise]:
    """Those done in repetitions, for work of the limbs that is; all, where none is.

    The trunk holds in a rollout as in a plank.
    """
    if asked.pattern not in {*_ARMS, Pattern.LEGS}:
        return found
    return [one for one in found if not is_hold_for_reps(asked, one)] or found


def is_hold_for_reps(asked: Exercise, one: Exercise) -> bool:
    """Whether a hold would take the place of repetitions."""
    return asked.measure is Measure.REPS and one.measure is Measure.SECONDS


def is_limited(
    asked: Exercise,
    limits: Collection[JointLimit],
    overrides: Collection[LimitOverride] = (),
) -> bool:
    """Whether an exercise loads what the client avoids or regresses, and nobody allowed it by name."""
    return bool(blocked_by(asked, limits, overrides) or regressed_by(asked, limits))


def spares_the_joint(asked: Exercise, one: Exercise, limits: Collection[JointLimit]) -> bool:
    """Whether another exercise may come in for the sake of the joint that is limited.

    It loads that joint in no way in which the exercise does not, and is no jump and no skill
    of hanging or balance, unless the exercise is one.
    """
    if kind_apart(asked, one):
        return False
    strict = [limit for limit in limits if limit.action is not LimitAction.WATCH]
    of_joint = {stress for limit in strict for stress in same_joint(limit.stress)}
    anew = set(one.joint_stresses) - set(asked.joint_stresses)
    return of_joint.isdisjoint(anew)


def _is_as_heavy_a_rung(asked: Exercise, one: Exercise) -> bool:
    """Whether the next rung is no harder to do, only with other weights: their load is chosen."""
    is_next = bool(asked.ladder) and one.ladder == asked.ladder and one.rung == asked.rung + 1
    weights = loading(asked) in _WEIGHTS and load_lost(asked, one) == 0
    return is_next and weights and one.complexity <= asked.complexity


def is_jump(exercise: Exercise) -> bool:
    """Whether the feet leave the floor and land."""
    return JointStress.KNEE_IMPACT in exercise.joint_stresses


def is_skill(exercise: Exercise) -> bool:
    """Whether it is a hang head down, a balance, a lever or a turn over the bar.

    Straight arms under the body, the head down, or the whole body held level: a skill to be
    learnt at the end of the shoulder's range before it is work.
    """
    if exercise.pattern not in _ARMS:
        return False
    stresses = set(exercise.joint_stresses)
    behind = JointStress.SHOULDER_DEEP_EXTENSION in stresses
    turns_over = exercise.pattern is Pattern.PULL and behind
    is_level = exercise.body_share >= 1 and exercise.plane is Plane.HORIZONTAL
    return turns_over or is_level or not _SKILLS.isdisjoint(stresses)


def is_hold(exercise: Exercise) -> bool:
    """Whether the arms hold the body for a time."""
    is_timed = exercise.measure is Measure.SECONDS
    return is_timed and exercise.multi_joint and exercise.pattern in _ARMS


def kind_apart(asked: Exercise, one: Exercise) -> str:
    """What it is in the place of what is none, in words: a jump, a skill, a hold; else empty.

    One skill says nothing of another: of those only the rungs of the same ladder are alike.
    """
    if is_skill(one) and not (is_skill(asked) and one.ladder and one.ladder == asked.ladder):
        return "a skill"
    kinds = ((is_jump, "a jump"), (is_hold, "a hold"))
    return next((word for is_one, word in kinds if is_one(one) and not is_one(asked)), "")


def unlike(
    asked: Exercise, one: Exercise, limits: Collection[JointLimit] = (), known: Known = NOTHING
) -> tuple[float, ...]:
    """How far another exercise is from one, what matters most first; the smaller the better.

    First the joint; then that work stays work, repetitions repetitions, a squat no hinge and
    several joints several; the plane and the same movers; loaded for loaded, a load to choose
    before an easier movement; as hard as can be; what was done before; the same muscles.
    """
    return (
        *main_points(asked, one, limits),
        is_far_easier(asked, one),
        any(base.exercise not in {asked.key, *known.done} for base in one.prerequisites),
        (one.pattern in _ARMS or is_limited(asked, limits)) and one.sides != asked.sides,
        _apart(asked, one, known),
        one.key not in known.done,
        -known.levels.get(one.key, 0),
        _share_apart(asked, one),
        len(set(asked.joint_actions) - set(one.joint_actions)),
        muscles_apart(asked, one),
        len(set(one.joint_actions) - set(asked.joint_actions)),
    )


def main_points(
    asked: Exercise, one: Exercise, limits: Collection[JointLimit]
) -> tuple[float, ...]:
    """The joint, the movement and the load: what nothing else outweighs."""
    return (
        *_of_the_joint(asked, one, limits),
        *_of_the_movement(asked, one),
        _is_harder_by_body(asked, one),
        load_lost(asked, one),
    )


def _of_the_joint(
    asked: Exercise, one: Exercise, limits: Collection[JointLimit]
) -> tuple[float, ...]:
    how = sparing(asked, one, limits)
    is_rung = bool(regressed_by(asked, limits)) and how in {
        Sparing.EASIER_RUNG,
        Sparing.LOADS_LESS,
    }
    return (
        how in _LOADS_JOINT,
        bool(kind_apart(asked, one)),
        not (is_rung and not _is_far_simpler(asked, one)),
        is_rung and how,
        sum(limit.stress in one.joint_stresses for limit in limits),
    )


def _of_the_movement(asked: Exercise, one: Exercise) -> tuple[bool, ...]:
    by_joint = asked.pattern is Pattern.LEGS or not asked.multi_joint
    lead = asked.joint_actions[:1] if by_joint else ()
    return (
        not set(lead) <= set(one.joint_actions),
        one.measure is not asked.measure,
        one.multi_joint is not asked.multi_joint,
        one.plane is not asked.plane,
        not _trains_it(asked, one),
        not is_within(movers_of(asked), movers_of(one)),
    )


def is_far_easier(asked: Exercise, one: Exercise) -> bool:
    """Whether another exercise is far below: much simpler, or with half of the body to move."""
    was, now = loading(asked), loading(one)
    if {was, now} <= _WEIGHTS:
        return False
    if _is_far_simpler(asked, one):
        return True
    share = FAR_EASIER_SHARE.value * asked.body_share
    return {was, now} <= _BODY and one.body_share < share


def _is_far_simpler(asked: Exercise, one: Exercise) -> bool:
    return asked.complexity - one.complexity > HARDER_TO_COORDINATE.value


def _is_harder_by_body(asked: Exercise, one: Exercise) -> bool:
    """Whether the body is the load of what is harder to do: a load can be chosen, a body not."""
    now = loading(one)
    return now in _BODY and now is not loading(asked) and one.complexity > asked.complexity


def _share_apart(asked: Exercise, one: Exercise) -> float:
    """How far apart in body weight moved; for a weight that becomes the body, more is nearer."""
    if loading(one) not in _BODY:
        return 0
    by_body = loading(asked) in _BODY
    return abs(one.body_share - asked.body_share) if by_body else -one.body_share


def load_lost(asked: Exercise, one: Exercise) -> int:
    """How much is lost of being made heavy; 0 is nothing, most a weight that becomes the body."""
    was, now = loading(asked), loading(one)
    if was is now:
        return 0
    if was in _WEIGHTS:
        return _place(now, _FROM_WEIGHTS)
    return _place(now, _FROM_BODY) if was is Loading.LOADED_BODY else int(now is Loading.HELPED)


def _place(now: Loading, order: tuple[set[Loading], ...]) -> int:
    return next(at for at, alike in enumerate(order) if now in alike)


_FROM_WEIGHTS = (
    {Loading.FREE_WEIGHT},
    {Loading.MACHINE},
    {Loading.LOADED_BODY},
    {Loading.BAND},
    {Loading.HELPED, Loading.BODY},
)
_FROM_BODY = (
    {Loading.LOADED_BODY},
    {Loading.FREE_WEIGHT, Loading.MACHINE},
    {Loading.BODY, Loading.BAND},
    {Loading.HELPED},
)


def loading(exercise: Exercise) -> Loading:
    """How an exercise is made heavy, by its load kind and what it needs."""
    match exercise.load_kind:
        case LoadKind.NONE:
            return Loading.BODY
        case LoadKind.ADDED:
            return Loading.LOADED_BODY
        case LoadKind.ASSISTED:
            return Loading.HELPED
        case _:
            pass
    if EquipmentKind.BANDS in exercise.equipment:
        return Loading.BAND
    return Loading.FREE_WEIGHT if _MACHINES.isdisjoint(exercise.equipment) else Loading.MACHINE


def movers_of(exercise: Exercise) -> frozenset[Muscle]:
    """The main movers of an exercise."""
    return frozenset(share.muscle for share in exercise.muscles if share.is_direct)


def works_alike(own: Exercise, to: Exercise) -> bool:
    """Whether the same muscles do it by the same joint actions, some more or less.

    A hinge and a squat only overlap.
    """
    actions = frozenset(own.joint_actions), frozenset(to.joint_actions)
    return is_within(movers_of(own), movers_of(to)) and is_within(*actions)


def is_within(one: AbstractSet[object], other: AbstractSet[object]) -> bool:
    """Whether one holds the other whole."""
    return one <= other or other <= one


def _trains_it(asked: Exercise, one: Exercise) -> bool:
    return is_easier_rung(one, asked) or not movers_of(asked).isdisjoint(movers_of(one))


def _is_akin(asked: Exercise, one: Exercise) -> bool:
    """The same pattern with as many joints and a muscle in common."""
    muscles = {share.muscle for share in asked.muscles}
    shared = not muscles.isdisjoint(share.muscle for share in one.muscles)
    return shared and one.multi_joint is asked.multi_joint


def _apart(asked: Exercise, one: Exercise, known: Known) -> int:
    """Steps of level and coordination between two, as far as the client's level goes."""
    apart = abs(one.complexity - asked.complexity)
    if asked.key not in known.levels or one.key not in known.levels:
        return apart
    wanted = known.levels[asked.key]
    wanted = wanted if known.level is None else min(wanted, known.level)
    return apart + abs(known.levels[one.key] - wanted)


def muscles_apart(one: Exercise, other: Exercise) -> float:
    """How much of a set goes to other muscles, summed over all of them."""
    shares: dict[Muscle, float] = defaultdict(float)
    for share in one.muscles:
        shares[share.muscle] += share.share
    for share in other.muscles:
        shares[share.muscle] -= share.share
    return sum(map(abs, shares.values()))
