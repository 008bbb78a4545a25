"""The muscles of a block over its weeks, beside what they got in the block before."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from coaching.blocks import charts
from coaching.blocks.block_findings import judged
from coaching.blocks.plan_figures import KEPT_WEEKS, WeekFigures
from coaching.rules.plan import Level, Muscle, WeekKind
from coaching.rules.volume_range import VolumeLine

_ALL = frozenset(Muscle)


@dataclass(frozen=True, slots=True)
class LastBlock:
    """The block before: fractional sets a muscle gets in its usual weeks, on average.

    ``loads`` are the hardest of its last usual week by exercise key [kg],
    ``sessions`` is how many the fullest of these weeks has.
    """

    name: str
    sets: Mapping[Muscle, float]
    loads: frozenset[tuple[str, float]] = frozenset()
    sessions: int = 0


@dataclass(frozen=True, slots=True)
class SetsCell:
    """A muscle's fractional sets in one week; ``look`` holds the words of its appearance."""

    text: str
    look: str
    changed: str


@dataclass(frozen=True, slots=True)
class MuscleRow:
    """One muscle over the weeks, and what it got in the block before."""

    label: str
    cells: tuple[SetsCell, ...]
    last_block: str


def muscle_rows(
    weeks: Sequence[WeekFigures],
    was: Sequence[WeekFigures | None],
    level: Level,
    chosen: int,
    last: LastBlock | None,
) -> tuple[MuscleRow, ...]:
    """The muscles that a block trains, did before the last edit (``was``), or the last block did."""
    earlier = was or (None,) * len(weeks)
    trained = {muscle for week in (*weeks, *earlier) if week for muscle in week.volume}
    trained.update(last.sets if last else ())
    columns = [
        _cells(week, then, level, is_chosen=week.week.number == chosen)
        for week, then in zip(weeks, earlier, strict=True)
    ]
    return tuple(
        MuscleRow(
            label=muscle.value,
            cells=tuple(column[muscle] for column in columns),
            last_block=charts.sets_text(last.sets.get(muscle, 0.0)) if last else "",
        )
        for muscle in Muscle
        if muscle in trained
    )


@lru_cache(maxsize=KEPT_WEEKS)
def _cells(
    week: WeekFigures, then: WeekFigures | None, level: Level, *, is_chosen: bool
) -> Mapping[Muscle, SetsCell]:
    lines = {line.muscle: line for line in judged(week, level, _ALL)}
    return {muscle: _cell(week, then, lines.get(muscle), muscle, is_chosen) for muscle in Muscle}


def _cell(
    week: WeekFigures,
    then: WeekFigures | None,
    line: VolumeLine | None,
    muscle: Muscle,
    is_chosen: bool,  # noqa: FBT001 - one of two looks
) -> SetsCell:
    by = (
        0.0
        if then is None or then is week
        else counted_sets(week, muscle) - counted_sets(then, muscle)
    )
    words = (
        "is-light" if week.week.kind is WeekKind.DELOAD else "",
        "is-chosen" if is_chosen else "",
        "is-outside" if line and charts.is_outside(line) else "",
        "is-changed" if by else "",
    )
    return SetsCell(
        text=charts.sets_text(counted_sets(week, muscle)),
        look=" ".join(word for word in words if word),
        changed=charts.signed(by) if by else "",
    )


def counted_sets(week: WeekFigures, muscle: Muscle) -> float:
    """A muscle's sets of a week, those that assist counted by their share."""
    found = week.volume.get(muscle)
    return found.fractional_sets if found else 0.0
