"""Remedies for one exercise as it is planned: a load that jumps or cannot be made, an odd set."""

from collections.abc import Iterator
from dataclasses import replace

from coaching.blocks.block_findings import WeekScene
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.planned_loads import Earlier
from coaching.blocks.trials import Bench, act
from coaching.blocks.words import short_targets
from coaching.rules.next_load import load_words
from coaching.rules.plan import Prescription
from coaching.rules.planned_load import JUMP_RULE, nearest_made
from coaching.rules.rep_range import evened


def for_load(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """The load as it was before, or the nearest that the client's equipment makes.

    Where the week after has the same jump, the later weeks get it as well.
    """
    one = _line(placed, bench.scene)
    if one is None:
        return placed
    ways = _as_before if placed.finding.rule == JUMP_RULE else _made
    found = replace(placed, remedies=tuple(ways(one, bench.scene)))
    return bench.in_block(found)


def for_odd_set(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """The set that is far from the others as its neighbour has it."""
    lines = (
        one
        for figures in bench.scene.week.sessions
        if figures.session.key in placed.keys and bench.scene.facts.may_change(figures.session)
        for one in figures.session.prescriptions
        if one.exercise.key == placed.finding.exercise and bench.scene.facts.is_free(one)
    )
    one = next((one for one in lines if evened(one.targets) != one.targets), None)
    if one is None or len(placed.keys) > 1:
        return placed
    even = evened(one.targets)
    words = f"{one.exercise.name} {short_targets(even)}"
    typed = "-".join(str(reps) for reps in even)
    reach = (
        "onward"
        if any(each.targets == one.targets for each in _later(one, bench.scene))
        else "week"
    )
    remedy = Remedy(words, act("change-line", line=one.key, targets=typed, reach=reach))
    return bench.in_block(replace(placed, remedies=(remedy,)))


def _line(placed: PlacedFinding, scene: WeekScene) -> Prescription | None:
    for figures in scene.week.sessions:
        for one in figures.session.prescriptions:
            if one.key == placed.finding.line:
                is_open = scene.facts.may_change(figures.session) and scene.facts.is_free(one)
                return one if is_open else None
    return None


def _as_before(one: Prescription, scene: WeekScene) -> Iterator[Remedy]:
    known = Earlier(scene.usual, scene.following, scene.facts.loads).load(one.exercise.key)
    if known is not None:
        load, where = known
        yield _set_to(one, load, f", as in {where}", _reach(one, scene))


def _made(one: Prescription, scene: WeekScene) -> Iterator[Remedy]:
    loads = dict(scene.facts.loads.made)[one.exercise.key]
    for load in nearest_made(one.exercise, one.load, loads):
        yield _set_to(one, load, "", _reach(one, scene))


def _reach(one: Prescription, scene: WeekScene) -> str:
    """Onward where the week after asks for the very same load."""
    return "onward" if any(each.load == one.load for each in _later(one, scene)) else "week"


def _later(one: Prescription, scene: WeekScene) -> Iterator[Prescription]:
    """The same exercise in the week after."""
    for session in scene.following.week.sessions if scene.following else ():
        for each in session.prescriptions:
            if each.exercise.key == one.exercise.key:
                yield each


def _set_to(one: Prescription, load: float, why: str, reach: str) -> Remedy:
    words = f"{one.exercise.name} with {load_words(one.exercise, load)}{why}"
    return Remedy(words, act("change-line", line=one.key, load_kg=f"{load:g}", reach=reach))
