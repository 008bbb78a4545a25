"""Muscles that a week leaves out although they are trained: in its block, before, or in the last one."""

from collections.abc import Iterator, Sequence

from coaching.blocks import charts
from coaching.blocks.muscle_rows import LastBlock, counted_sets
from coaching.blocks.plan_figures import WeekFigures
from coaching.rules.plan import Muscle, WeekKind

Missing = tuple[tuple[Muscle, str], ...]
"""Each muscle without a set, and where it has some, in words: 6 in week 4."""


def trained_elsewhere(
    weeks: Sequence[WeekFigures],
    week: WeekFigures,
    then: WeekFigures | None,
    last: LastBlock | None,
) -> Missing:
    """What a week has no set of; ``then`` is the same week before the last edit.

    Told is the nearest of what there is: before the edit, in another usual week, in the block
    before. A light week may leave muscles out, so it is held against itself only.
    """
    left_out = [muscle for muscle in Muscle if not counted_sets(week, muscle)]
    is_usual = week.week.kind is WeekKind.BUILD
    usual = [one for one in weeks if is_usual and one.week.kind is WeekKind.BUILD]
    nearest = sorted(usual, key=lambda one: abs(one.week.number - week.week.number))
    beside = last if is_usual else None
    found = ((muscle, next(_places(nearest, then, beside, muscle), "")) for muscle in left_out)
    return tuple((muscle, words) for muscle, words in found if words)


def _places(
    nearest: Sequence[WeekFigures],
    then: WeekFigures | None,
    last: LastBlock | None,
    muscle: Muscle,
) -> Iterator[str]:
    if then and (sets := counted_sets(then, muscle)):
        yield f"{charts.sets_text(sets)} before"
    for one in nearest:
        if sets := counted_sets(one, muscle):
            yield f"{charts.sets_text(sets)} in week {one.week.number}"
    if last and (sets := last.sets.get(muscle, 0.0)):
        yield f"{charts.sets_text(sets)} in {last.name}"
