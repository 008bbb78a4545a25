"""Remedies for one exercise as it is planned: a load that jumps or cannot be made, an odd set.

They go on into later weeks where the same stands there, so that what is planned otherwise stays.
"""

from collections.abc import Iterator
from dataclasses import replace

from coaching.blocks.block_findings import WeekScene
from coaching.blocks.effects import PlacedFinding
from coaching.blocks.plan_figures import SessionFigures
from coaching.blocks.planned_loads import Earlier
from coaching.blocks.trials import Bench, Trial, act
from coaching.blocks.words import short_targets
from coaching.rules.next_load import load_words
from coaching.rules.plan import Prescription
from coaching.rules.planned_load import JUMP_RULE, nearest_made
from coaching.rules.rep_range import evened

_MOST = 2
_Found = tuple[SessionFigures, Prescription]


def for_load(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """The load as it was before, or the nearest that the client's equipment makes."""
    found = next((each for each in _open(placed, bench.scene) if _is_told(each, placed)), None)
    if found is None:
        return placed
    ways = _as_before if placed.finding.rule == JUMP_RULE else _made
    told, why = bench.best(placed, ways(found, bench.scene), most=_MOST)
    return replace(placed, remedies=tuple(told), way_out=why or placed.way_out)


def for_odd_set(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """The set that is far from the others as its neighbour has it."""
    trials = [
        _even(each, placed)
        for each in _open(placed, bench.scene)
        if each[1].exercise.key == placed.finding.exercise
        and evened(each[1].targets) != each[1].targets
    ]
    told, why = bench.best(placed, trials, most=_MOST)
    return replace(placed, remedies=tuple(told), way_out=why or placed.way_out)


def _open(placed: PlacedFinding, scene: WeekScene) -> Iterator[_Found]:
    """What may change in the sessions of a finding."""
    for figures in scene.week.sessions:
        if figures.session.key in placed.keys and scene.facts.may_change(figures.session):
            for one in figures.session.prescriptions:
                if scene.facts.is_free(one):
                    yield figures, one


def _is_told(found: _Found, placed: PlacedFinding) -> bool:
    return found[1].key == placed.finding.line


def _even(found: _Found, placed: PlacedFinding) -> Trial:
    figures, one = found
    even = evened(one.targets)
    names = dict(zip(placed.keys, placed.sessions, strict=True))
    place = f", {names[figures.session.key]}" if len(names) > 1 else ""
    words = f"{one.exercise.name} {short_targets(even)}{place}"
    typed = "-".join(str(reps) for reps in even)
    return Trial(words, act("change-line", line=one.key, targets=typed, reach="alike"), (figures,))


def _as_before(found: _Found, scene: WeekScene) -> Iterator[Trial]:
    earlier = Earlier(scene.usual, scene.following, scene.facts.loads)
    known = earlier.load(found[1].exercise.key)
    if known is not None:
        load, where = known
        yield _set_to(found, load, f", as in {where}")


def _made(found: _Found, scene: WeekScene) -> Iterator[Trial]:
    one = found[1]
    loads = dict(scene.facts.loads.made)[one.exercise.key]
    for load in nearest_made(one.exercise, one.load, loads):
        yield _set_to(found, load)


def _set_to(found: _Found, load: float, why: str = "") -> Trial:
    figures, one = found
    words = f"{one.exercise.name} with {load_words(one.exercise, load)}{why}"
    sent = act("change-line", line=one.key, load_kg=f"{load:g}", reach="alike")
    return Trial(words, sent, (figures,))
