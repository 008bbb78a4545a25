"""Figures of a client's log: what exercises share over weeks, and the week's volume.

Every figure is plain data; colours are words that the page's tokens fill in.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import exp
from statistics import fmean, median
from typing import Any

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
from coaching.rules.plan import Exercise, Muscle, Pattern
from coaching.rules.volume import MuscleVolume
from coaching.rules.volume_range import VolumeLine

SPARK_WIDTH, SPARK_HEIGHT = 160.0, 40.0
# A sparkline shows at least this much above and below the usual [% of usual].
SPARK_LEAST = 6.0
CHART_LEAST = 4.0
FEWEST_POINTS = 3


@dataclass(frozen=True)
class Point:
    """One session of an exercise: strength in per cent of usual; ``at_least`` if not measured."""

    on: date
    value: float
    at_least: bool


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
        points = tuple(Point(e.on, 100 * exp(e.index - usual), e.at_least) for e in sessions)
        found.append(Series(sessions[0].exercise, points))
    return tuple(found)


def shared_line(series: Iterable[Series]) -> tuple[Point, ...]:
    """What all exercises share: the middle of each day's exercises in per cent of usual."""
    days: dict[date, list[Point]] = {}
    for one in series:
        for point in one.points:
            days.setdefault(point.on, []).append(point)
    return tuple(
        Point(on, median(p.value for p in points), all(p.at_least for p in points))
        for on, points in sorted(days.items())
    )


def shared_figure(series: Sequence[Series], onset: date | None) -> dict[str, Any]:
    """A Plotly figure: every exercise thin, what they share strong, and where a fall began."""
    lines = [_exercise_line(one) for one in series]
    shared = shared_line(series)
    lines.append(
        {
            "x": [p.on.isoformat() for p in shared],
            "y": [round(p.value, 1) for p in shared],
            "mode": "lines+markers",
            "line": {"color": "token:ink", "width": 3},
            "marker": {"color": "token:ink", "size": 7},
            "name": "all exercises",
            "hovertemplate": "%{x|%-d %b}: %{y:.1f} % of usual<extra>all exercises</extra>",
        }
    )
    return {"data": lines, "layout": _layout(onset, _reach(shared))}


def _exercise_line(one: Series) -> dict[str, Any]:
    colour = {Pattern.PUSH: "push", Pattern.PULL: "pull"}.get(one.exercise.pattern, "ink-soft")
    dash = {Pattern.PUSH: "solid", Pattern.PULL: "dot"}.get(one.exercise.pattern, "dash")
    return {
        "x": [p.on.isoformat() for p in one.points],
        "y": [round(p.value, 1) for p in one.points],
        "mode": "lines",
        "line": {"color": f"token:{colour}/0.55", "width": 1.5, "dash": dash},
        "name": one.exercise.name,
        "hovertemplate": f"%{{x|%-d %b}}: %{{y:.1f}} %<extra>{one.exercise.name}</extra>",
    }


def _reach(shared: Sequence[Point]) -> float:
    """How far from the usual the figure goes; one exercise at a new load may leave it."""
    return 4 + max([CHART_LEAST, *(abs(p.value - 100) for p in shared)])


def _layout(onset: date | None, reach: float) -> dict[str, Any]:
    usual = {
        "type": "line",
        "xref": "paper",
        "x0": 0,
        "x1": 1,
        "y0": 100,
        "y1": 100,
        "line": {"color": "token:line-strong", "width": 1},
    }
    layout: dict[str, Any] = {
        "template": None,
        "height": 264,
        "margin": {"l": 52, "r": 12, "t": 24, "b": 36},
        "xaxis": {"tickformat": "%-d %b", "nticks": 6, "showgrid": False},
        "yaxis": {"ticksuffix": " %", "nticks": 5, "range": [100 - reach, 100 + reach]},
        "shapes": [usual],
        "annotations": [],
    }
    if onset is not None:
        on = onset.isoformat()
        line = {"color": "token:accent", "width": 2, "dash": "dot"}
        layout["shapes"].append(
            {"type": "line", "x0": on, "x1": on, "yref": "paper", "y0": 0, "y1": 1, "line": line}
        )
        layout["annotations"].append(
            {
                "x": on,
                "y": 1.1,
                "yref": "paper",
                "text": f"since {onset.day} {onset:%b}",
                "showarrow": False,
                "font": {"color": "token:accent", "size": 14},
            }
        )
    return layout


@dataclass(frozen=True)
class WeekTable:
    """The same numbers by week: a row for each exercise, and one for all of them."""

    weeks: tuple[date, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


def week_table(series: Sequence[Series]) -> WeekTable:
    """Mean per cent of usual of each exercise in each week."""
    every = sorted({_monday(p.on) for one in series for p in one.points})
    rows = [(one.exercise.name, _by_week(one.points, every)) for one in series]
    if rows:
        rows.append(("All exercises", _by_week(shared_line(series), every)))
    return WeekTable(tuple(every), tuple(rows))


def _by_week(points: Sequence[Point], weeks: Sequence[date]) -> tuple[str, ...]:
    found = []
    for monday in weeks:
        values = [p.value for p in points if _monday(p.on) == monday]
        found.append(f"{fmean(values):.0f}" if values else "–")
    return tuple(found)


def _monday(on: date) -> date:
    return on - timedelta(days=on.weekday())


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
