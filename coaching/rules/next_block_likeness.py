"""What is most like an exercise in work, and what is no step down from it. Common practice.

Another exercise for variation trains the same main mover by the same joint action in the same
plane, is loaded in the same way and is no easier; where nothing is, the exercise stays.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from coaching.rules.joint_limits import JointLimit, LimitAction
from coaching.rules.next_block_case import LastBlock, Other
from coaching.rules.next_block_numbers import HARDER_TO_COORDINATE, SAME_SYSTEM_LOAD
from coaching.rules.plan import Exercise, LoadKind
from coaching.rules.stand_in import (
    Loading,
    is_limited,
    loading,
    main_points,
    movers_of,
    muscles_apart,
    spares_the_joint,
    unlike,
    works_alike,
)

_LOADED_BY = {
    Loading.BODY: "body weight alone",
    Loading.LOADED_BODY: "body weight and added load",
    Loading.FREE_WEIGHT: "free weights",
    Loading.MACHINE: "a machine",
    Loading.BAND: "a band",
    Loading.HELPED: "body weight less help",
}
_BODY = frozenset({Loading.BODY, Loading.LOADED_BODY})


def system_load(exercise: Exercise, load: float, body_weight: float) -> float:
    """What the muscles move of body and load together [kg]."""
    return exercise.body_share * body_weight + exercise.added_share * load


def equal_load(
    asked: tuple[Exercise, float], to: Exercise, loads: Iterable[float], body_weight: float
) -> float | None:
    """The added load [kg] that makes ``to`` as heavy as what was asked, never heavier by a load.

    None where the two are not loaded by the body, so that kilograms say nothing of each other.
    """
    if not {loading(asked[0]), loading(to)} <= _BODY or to.added_share <= 0:
        return None
    wanted = system_load(*asked, body_weight)
    fitting = [one for one in loads if system_load(to, one, body_weight) <= wanted]
    return max(fitting, default=0.0)


def ranked(line: LastBlock) -> tuple[Other, ...]:
    """What may take the place of an exercise, that which is most like it in work first.

    Where a joint or the equipment asks for another one, in the order of what may stand in:
    by the joint, and by what was done before.
    """
    if line.forbidden or is_limited(line.exercise, line.limits):
        done = {one.exercise.key for one in line.others if one.load_known}
        known = replace(line.known, done=done)
        own, limits = line.exercise, line.limits
        return tuple(sorted(line.others, key=lambda one: unlike(own, one.exercise, limits, known)))
    return tuple(sorted(line.others, key=lambda one: _unlike(line, one)))


def nearest_first(line: LastBlock, free: Sequence[Other]) -> list[Other]:
    """For what cannot stay: what the joint, the movement and the load ask for comes first.

    Those that are alike in these stay in the order in which they came.
    """
    own, limits = line.exercise, line.limits

    def points(one: Other) -> tuple[float, ...]:
        return (not line.spares(one.exercise), *main_points(own, one.exercise, limits))

    return sorted(free, key=points)


def that_spare(line: LastBlock, free: Sequence[Other]) -> list[Other]:
    """Those that may come in for an exercise that hurts: they load fewer of the same joints.

    None loads a joint of the exercise in another way, and none is a jump or a skill instead.
    """
    stresses = set(line.exercise.joint_stresses)
    sore = tuple(JointLimit(stress, LimitAction.REGRESS) for stress in line.exercise.joint_stresses)
    less = [
        one
        for one in free
        if spares_the_joint(line.exercise, one.exercise, sore)
        if not stresses or not stresses <= set(one.exercise.joint_stresses)
    ]
    return sorted(
        less,
        key=lambda one: (
            len(stresses & set(one.exercise.joint_stresses)),
            not line.spares(one.exercise),
        ),
    )


def varied(line: LastBlock, free: Sequence[Other]) -> list[Other]:
    """Those that are really another exercise, train the same and are no step down.

    Variety is no reason to load a joint that is watched, or that hurt elsewhere in the block.
    """
    return [
        one
        for one in free
        if _is_same_work(line, one) and _is_loaded_alike(line.exercise, one.exercise)
        if not is_easier(line, one) and line.spares(one.exercise)
    ]


def harder(line: LastBlock, free: Sequence[Other]) -> list[Other]:
    """Those that train the same, are no step down and may be loaded in a way that goes further."""
    own = loading(line.exercise)
    return [
        one
        for one in free
        if _is_same_work(line, one) and not is_easier(line, one) and line.spares(one.exercise)
        if own in _BODY or _is_loaded_alike(line.exercise, one.exercise)
    ]


def lack_of(line: LastBlock, one: Other) -> str:
    """What keeps another exercise from being the same work, in words; empty where nothing does.

    The words follow the exercise's name: Cable row "is loaded by a machine".
    """
    own, to = line.exercise, one.exercise
    if not _is_same_work(line, one):
        return _other_work(line, one)
    if not _is_loaded_alike(own, to):
        return f"is loaded by {_LOADED_BY[loading(to)]}"
    if is_easier(line, one):
        return "is a step down"
    return "" if line.spares(to) else "loads a joint anew that hurts or is watched"


def _is_same_work(line: LastBlock, one: Other) -> bool:
    return not _other_work(line, one)


def _other_work(line: LastBlock, one: Other) -> str:
    """In what the work is another, in words; the plainest difference alone."""
    own, to = line.exercise, one.exercise
    was, now = (own.pattern, own.plane, own.multi_joint), (to.pattern, to.plane, to.multi_joint)
    differs = (
        (was != now, "moves another way"),
        (own.measure is not to.measure, f"is asked in {to.measure.value}"),
        (
            own.sides != to.sides,
            f"works {'both sides in one set' if to.sides == 1 else 'one side after the other'}",
        ),
        (line.asked.tempo.explosive is not one.tempo.explosive, "is done at another speed"),
        (bool(own.ladder) and to.ladder == own.ladder, "is a rung of the same ladder"),
        (to.complexity > own.complexity + HARDER_TO_COORDINATE.value, "is harder to coordinate"),
        (not works_alike(own, to), "works other muscles or joints"),
    )
    return next((told for is_so, told in differs if is_so), "")


def _is_loaded_alike(own: Exercise, to: Exercise) -> bool:
    """The same kind of load; body weight alone may become body weight that takes a load."""
    was, now = loading(own), loading(to)
    return was is now or (was is Loading.BODY and now is Loading.LOADED_BODY)


def is_easier(line: LastBlock, one: Other) -> bool:
    """Whether another exercise is a step down.

    By coordination and by what is moved where the body is the load; free weights, machines and
    bands are as hard as their load is chosen, so of them only another way of loading is one.
    """
    own, to = line.exercise, one.exercise
    was, now = loading(own), loading(to)
    if was in _BODY and now in _BODY:
        return to.complexity < own.complexity or _is_lighter(line, one)
    if now is Loading.BAND:
        return was is not Loading.BAND and was is not Loading.BODY
    return was is not now and to.complexity < own.complexity


def compared(line: LastBlock, one: Other, levels_up: int = 0) -> str:
    """Whether another exercise is harder, as hard or easier.

    On one ladder the rung says it, whatever is carried; else the client's level that it is for,
    then what is moved and how hard it is to coordinate. ``levels_up`` is how many levels it is for
    beyond the one in whose place it comes.
    """
    own, to = line.exercise, one.exercise
    is_ladder = bool(own.ladder) and own.ladder == to.ladder
    up = to.rung - own.rung if is_ladder else levels_up
    if not up and not is_ladder:
        up = -1 if is_easier(line, one) else to.complexity - own.complexity
    if not up:
        return "as hard"
    return "harder" if up > 0 else "easier"


def _is_lighter(line: LastBlock, one: Other) -> bool:
    asked, weight = (line.exercise, line.asked.load), line.body_weight
    if not weight:
        less = one.exercise.body_share < SAME_SYSTEM_LOAD.value * line.exercise.body_share
        return less or one.load < line.asked.load
    least = SAME_SYSTEM_LOAD.value * system_load(*asked, weight)
    return system_load(one.exercise, one.load, weight) < least


_Unlike = tuple[
    bool, bool, bool, bool, bool, bool, bool, bool, bool, bool, int, float, int, float, str
]


def _unlike(line: LastBlock, other: Other) -> _Unlike:
    """How another exercise differs in work: what trains the same muscles as much comes first."""
    asked, given = line.exercise, other.exercise
    return (
        given.plane is not asked.plane,
        given.multi_joint is not asked.multi_joint,
        given.measure is not asked.measure,
        other.tempo.explosive is not line.asked.tempo.explosive,
        not works_alike(asked, given),
        is_easier(line, other),
        not _is_loaded_alike(asked, given),
        movers_of(asked) != movers_of(given),
        not (other.load_known or other.load_equal or given.load_kind is LoadKind.NONE),
        given.sides != asked.sides,
        other.levels_apart + abs(given.complexity - asked.complexity),
        muscles_apart(asked, given),
        len(set(given.joint_stresses) - set(asked.joint_stresses)),
        abs(given.body_share - asked.body_share),
        given.key,
    )
