"""Figures of a client's log: small lines over weeks, and the week's volume.

Every figure is plain data; colours are words that the page's tokens fill in.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import exp
from statistics import median

from coaching.blocks.charts import (
    SpineVolume,
    VolumeRow,
    VolumeSide,
    balance_words,
    sets_text,
    spine_volume,
)
from coaching.rules.balance import Tally
from coaching.rules.exposures import Exposure
from coaching.rules.plan import Exercise, Muscle
from coaching.rules.volume import MuscleVolume
from coaching.rules.volume_range import VolumeLine

SPARK_WIDTH, SPARK_HEIGHT = 160.0, 40.0
# A sparkline shows at least this much above and below the usual [% of usual].
SPARK_LEAST = 6.0
FEWEST_POINTS = 3


@dataclass(frozen=True)
class Point:
    """One session of an exercise: strength in per cent of usual."""

    on: date
    value: float


@dataclass(frozen=True)
class Series:
    """One exercise over the weeks."""

    exercise: Exercise
    points: tuple[Point, ...]


def usual_series(
    exposures: Mapping[str, Sequence[Exposure]], onset: date | None = None
) -> tuple[Series, ...]:
    """Each exercise's estimated strength in per cent of the client's own usual.

    The usual is the median of the sessions before the onset of a fall, or of all of
    them. Exercises with fewer than three sessions show no course and are left out.
    """
    found = []
    for sessions in exposures.values():
        if len(sessions) < FEWEST_POINTS:
            continue
        before = [e.index for e in sessions if onset is None or e.on < onset]
        usual = median(before or [e.index for e in sessions])
        points = tuple(Point(e.on, 100 * exp(e.index - usual)) for e in sessions)
        found.append(Series(sessions[0].exercise, points))
    return tuple(found)


@dataclass(frozen=True)
class Spark:
    """A small line, as the shared template draws it."""

    label: str
    points: str
    zero_y: float | None
    onset_x: float | None
    start_label: str = ""
    end_label: str = ""
    onset_label: str = ""
    band: str = ""
    width: float = SPARK_WIDTH
    height: float = SPARK_HEIGHT
    small: bool = True
    rows: tuple[tuple[str, str], ...] = ()


def spark(series: Series, first: date, last: date, onset: date | None = None) -> Spark:
    """One exercise between two days, with the line of its usual strength."""
    days = max(1, (last - first).days)
    reach = max(SPARK_LEAST, *(abs(p.value - 100) for p in series.points))

    def x(on: date) -> float:
        return round(SPARK_WIDTH * (on - first).days / days, 1)

    def y(value: float) -> float:
        return round(SPARK_HEIGHT / 2 * (1 - (value - 100) / reach), 1)

    end = series.points[-1]
    return Spark(
        label=f"{series.exercise.name}, {len(series.points)} sessions since "
        f"{series.points[0].on.day} {series.points[0].on:%b}, last {end.value:.0f} % of usual",
        points=" ".join(f"{x(p.on)},{y(p.value)}" for p in series.points),
        zero_y=y(100),
        onset_x=x(onset) if onset else None,
    )


def number_spark(label: str, values: Sequence[tuple[date, float]], unit: str) -> Spark:
    """A small line of plain numbers, with the first and the last in words."""
    days = max(1, (values[-1][0] - values[0][0]).days)
    lowest, highest = min(v for _, v in values), max(v for _, v in values)
    reach = max(highest - lowest, 0.02 * highest)
    middle = (highest + lowest) / 2

    def at(on: date, value: float) -> str:
        x = SPARK_WIDTH * (on - values[0][0]).days / days
        y = SPARK_HEIGHT / 2 - SPARK_HEIGHT * 0.9 * (value - middle) / reach
        return f"{x:.1f},{y:.1f}"

    (first, start), (last, end) = values[0], values[-1]
    return Spark(
        label=f"{label}: {start:g} {unit} on {first.day} {first:%b}, {end:g} {unit} now",
        points=" ".join(at(on, value) for on, value in values),
        zero_y=None,
        onset_x=None,
        start_label=f"{start:g} {unit}, {first.day} {first:%b}",
        end_label=f"{end:g} {unit}, {last.day} {last:%b}",
        small=False,
    )


def week_volume_chart(
    lines: Sequence[VolumeLine],
    done: Mapping[Muscle, MuscleVolume],
    balance: str,
    *,
    is_running: bool,
) -> SpineVolume:
    """The week's sets around the spine, each muscle's done sets beside the planned ones.

    While the week runs the bars are those of the plan, and nothing is called short yet.
    """
    title = (
        "Sets per muscle, done so far of planned"
        if is_running
        else "Sets per muscle, done of planned"
    )
    chart = spine_volume(lines, chart_id="week-volume", title=title)
    said = {line.muscle.value: _done_of(line, done) for line in lines}

    def beside(side: VolumeSide | None) -> VolumeSide | None:
        return None if side is None else replace(side, value_text=said[side.label])

    return replace(
        chart,
        rows=tuple(VolumeRow(beside(row.left), beside(row.right)) for row in chart.rows),
        centre=tuple(replace(one, value_text=said[one.label]) for one in chart.centre),
        balance=balance,
    )


def _done_of(line: VolumeLine, done: Mapping[Muscle, MuscleVolume]) -> str:
    got = sets_text(done[line.muscle].fractional_sets if line.muscle in done else 0.0)
    asked = sets_text(line.planned)
    return got if got == asked else f"{got} of {asked}"


def done_balance_words(done: Tally, planned: Tally) -> str:
    """How the week leaned, beside how it was planned."""
    return f"{balance_words(done)} (planned {planned.push_sets} and {planned.pull_sets})"
