"""Remedies where equipment is not there any more: another exercise for each that needs it."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

from coaching.blocks.block_findings import WeekScene
from coaching.blocks.effects import PlacedFinding, Remedy
from coaching.blocks.plan_figures import SessionFigures
from coaching.blocks.remedies_swaps import swap_trials
from coaching.blocks.trials import Bench, Trial
from coaching.rules.joint_limits import blocked_by
from coaching.rules.plan import Prescription

MOST_AT_ONCE = 4
_Lines = list[tuple[SessionFigures, Prescription]]


def for_equipment(placed: PlacedFinding, bench: Bench) -> PlacedFinding:
    """For each exercise the best that can be done instead; what remains is named."""
    shelf = bench.whole.shelf
    if shelf is None:
        return placed
    found: list[Remedy] = []
    left: list[str] = []
    for lines in _by_exercise(placed, bench.scene):
        is_looked_for = len(found) < MOST_AT_ONCE
        trials = _trials(placed, lines, bench, [_brought(one) for one in found])
        ways = bench.best(placed, trials)[0] if is_looked_for else []
        found += ways
        left += [] if ways else [lines[0][1].exercise.name]
    return replace(placed, remedies=tuple(found), way_out=_told_of(left, is_all=not found))


def _by_exercise(placed: PlacedFinding, scene: WeekScene) -> Iterable[_Lines]:
    """The lines that need what is missing and that may change, by exercise."""
    found: dict[str, _Lines] = {}
    for figures in scene.week.sessions:
        if figures.session.key in placed.keys and scene.facts.may_change(figures.session):
            for one in figures.session.prescriptions:
                if placed.finding.about in one.exercise.equipment and scene.facts.is_free(one):
                    found.setdefault(one.exercise.key, []).append((figures, one))
    return found.values()


def _brought(one: Remedy) -> str:
    """The row of the exercise that a remedy puts in."""
    return one.act.get("to") or one.act["exercise"]


def _trials(
    placed: PlacedFinding, lines: _Lines, bench: Bench, brought: Collection[str]
) -> Iterator[Trial]:
    """What may stand in, best first; what the sessions have already comes last.

    What another button brings in is left to that one: three buttons would make one exercise of three.
    """
    facts, shelf = bench.scene.facts, bench.whole.shelf
    if shelf is None:
        return
    asked = lines[0][1].exercise
    overrides = facts.joints.overrides
    limits = facts.limits_on(*(figures.session.on for figures, _ in lines))
    taken = {one.exercise.key for figures, _ in lines for one in figures.session.prescriptions}
    found = shelf.instead_of(asked, limits, overrides)
    for one in sorted(found, key=lambda each: each.value.key in taken):
        is_free = str(one.pk) not in brought
        if is_free and not blocked_by(one.value, bench.limits_ahead, overrides):
            yield from swap_trials(placed, lines, one, shelf.rows.get(asked.key))


def _told_of(names: list[str], *, is_all: bool) -> str:
    """What no button is there for: it is swapped at its place."""
    if not names:
        return ""
    if is_all:
        return "Swap each at its place, or take it out: nothing fits in at one press."
    return f"Then {', '.join(names)}."
