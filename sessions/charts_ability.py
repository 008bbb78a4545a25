"""Figures of ability over time: what one exercise can do in kg, and what all share in per cent.

Plain data for Plotly; colours are words that the page's tokens fill in.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median
from typing import Any

from coaching.rules.ability_course import AbilityCourse, Band, LevelOn
from coaching.rules.plan import Exercise, Pattern, WeekKind
from coaching.rules.shown_strength import DaySets

Trace = dict[str, Any]


@dataclass(frozen=True)
class Look:
    """How a side is drawn: hue, texture of the band and shape of the marks."""

    ink: str
    wash: str
    texture: str
    shape: str


PUSH = Look("token:push", "token:push-wash", "/", "diamond")
PULL = Look("token:pull", "token:pull-wash", ".", "circle")
NEITHER = Look("token:ink", "token:ink/0.16", "", "square")


def look_of(exercise: Exercise | None) -> Look:
    """Push and pull differ by hue and by texture."""
    if exercise is None:
        return NEITHER
    return {Pattern.PUSH: PUSH, Pattern.PULL: PULL}.get(exercise.pattern, NEITHER)


def exercise_figure(
    levels: Sequence[LevelOn], days: Sequence[DaySets], *, onset: date | None
) -> dict[str, Any]:
    """One exercise: ability with its band, what was planned, the sets, and where a fall began."""
    look = look_of(days[0].exercise)
    known = [one.on for one in levels]
    data = [
        _asked([(day.on, kg) for day in days for kg in day.asked], "kg"),
        *(
            _sets(
                [(d.on, s.kg) for d in days for s in d.shown if s.at_least == at_least],
                look,
                at_least=at_least,
                unit="kg",
            )
            for at_least in (True, False)
        ),
        _then(known, [one.then.middle for one in levels], "kg"),
        *_band(known, [one.now for one in levels], look, "kg"),
    ]
    return {"data": data, "layout": _layout(" kg", known, onset, _deloads(days))}


def shared_ability_figure(
    course: AbilityCourse, days: Mapping[str, Sequence[DaySets]], *, onset: date | None
) -> dict[str, Any]:
    """What all exercises share, and each exercise's best set of a day beside its own ability."""
    known = [one.on for one in course.shared]
    beside = list(_beside_ability(course, days))
    asked: dict[date, list[float]] = {}
    for day, unshared in beside:
        if day.asked:
            asked.setdefault(day.on, []).append(_per_cent(max(day.asked), unshared))
    data = [_asked([(on, median(values)) for on, values in asked.items()], "%")]
    for look in (NEITHER, PULL, PUSH):
        same = [(d, level) for d, level in beside if look_of(d.exercise) is look]
        for at_least in (True, False):
            points = [
                (d.on, _per_cent(d.best.kg, level))
                for d, level in same
                if d.best.at_least == at_least
            ]
            data.append(_sets(points, look, at_least=at_least, unit="%"))
    data += [
        _then(known, [one.then.middle for one in course.shared], "%"),
        *_band(known, [one.now for one in course.shared], NEITHER, "%"),
    ]
    every = [day for found in days.values() for day in found]
    layout = _layout(" %", known, onset, _deloads(every))
    layout["shapes"].append(_line(y0=0, y1=0, xref="paper", x0=0, x1=1, color="token:line-strong"))
    return {"data": data, "layout": layout}


def _beside_ability(
    course: AbilityCourse, days: Mapping[str, Sequence[DaySets]]
) -> Iterable[tuple[DaySets, float]]:
    for key, levels in course.exercises.items():
        unshared = {one.on: one.unshared for one in levels}
        yield from ((day, unshared[day.on]) for day in days.get(key, ()) if day.on in unshared)


def _per_cent(kg: float, of: float) -> float:
    return 100 * (kg / of - 1)


def _x(days: Iterable[date]) -> list[str]:
    return [on.isoformat() for on in days]


def _band(known: Sequence[date], bands: Sequence[Band], look: Look, unit: str) -> list[Trace]:
    edge = {"x": _x(known), "mode": "lines", "line": {"width": 0}, "hoverinfo": "skip"}
    high = {**edge, "y": [round(one.high, 1) for one in bands], "fill": "tonexty"}
    high["fillcolor"] = look.wash
    if look.texture:
        high["fillpattern"] = {
            "shape": look.texture,
            "fgcolor": f"{look.ink}/0.35",
            "bgcolor": look.wash,
            "size": 7,
            "solidity": 0.16,
        }
    middle = {
        "x": _x(known),
        "y": [round(one.middle, 1) for one in bands],
        "customdata": [[round(one.low, 1), round(one.high, 1)] for one in bands],
        "mode": "lines",
        "line": {"color": look.ink, "width": 2.5},
        "name": "ability",
        "hovertemplate": f"%{{x|%-d %b}}: %{{y:.1f}} {unit}, "
        f"%{{customdata[0]}} to %{{customdata[1]}}<extra>ability</extra>",
    }
    return [{**edge, "y": [round(one.low, 1) for one in bands]}, high, middle]


def _then(known: Sequence[date], values: Sequence[float], unit: str) -> Trace:
    return {
        "x": _x(known),
        "y": [round(value, 1) for value in values],
        "mode": "lines",
        "line": {"color": "token:ink-soft", "width": 1.25, "dash": "dash"},
        "name": "as known then",
        "hovertemplate": f"%{{x|%-d %b}}: %{{y:.1f}} {unit}<extra>as known then</extra>",
    }


def _asked(points: Sequence[tuple[date, float]], unit: str) -> Trace:
    return {
        "x": _x(on for on, _ in points),
        "y": [round(value, 1) for _, value in points],
        "mode": "markers",
        "marker": {
            "symbol": "line-ew",
            "size": 11 if unit == "kg" else 7,
            "line": {"color": "token:ink" if unit == "kg" else "token:ink-soft", "width": 2},
        },
        "name": "planned",
        "hovertemplate": f"%{{x|%-d %b}}: target asks %{{y:.1f}} {unit}<extra>planned</extra>",
    }


def _sets(points: Sequence[tuple[date, float]], look: Look, *, at_least: bool, unit: str) -> Trace:
    words = "at least " if at_least else ""
    return {
        "x": _x(on for on, _ in points),
        "y": [round(value, 1) for _, value in points],
        "mode": "markers",
        "marker": {
            "symbol": f"{look.shape}-open" if at_least else look.shape,
            "size": 6 if unit == "kg" else 5,
            "color": look.ink,
            "opacity": 0.75 if unit == "kg" else 0.5,
        },
        "name": "sets",
        "hovertemplate": f"%{{x|%-d %b}}: {words}%{{y:.1f}} {unit}<extra>set</extra>",
    }


def _deloads(days: Iterable[DaySets]) -> list[date]:
    """The Mondays of the deload weeks that were trained."""
    light = {day.on for day in days if day.kind is WeekKind.DELOAD}
    return sorted({on - timedelta(days=on.weekday()) for on in light})


def _layout(
    unit: str, known: Sequence[date], onset: date | None, deloads: Sequence[date]
) -> dict[str, Any]:
    layout: dict[str, Any] = {
        "template": None,
        "height": 300,
        "margin": {"l": 60, "r": 12, "t": 28, "b": 36},
        "xaxis": {
            "type": "date",
            "tickformat": "%-d %b",
            "nticks": 6,
            "showgrid": False,
            "range": _x((known[0] - timedelta(days=2), known[-1] + timedelta(days=2))),
        },
        "yaxis": {"ticksuffix": unit, "nticks": 6, "zeroline": False},
        "shapes": [_week(monday) for monday in deloads],
        "annotations": [],
    }
    if onset is not None and known[0] <= onset <= known[-1]:
        on = onset.isoformat()
        line = _line(x0=on, x1=on, yref="paper", y0=0, y1=1, color="token:accent")
        line["line"] |= {"width": 2, "dash": "dot"}
        layout["shapes"].append(line)
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


def _week(monday: date) -> Trace:
    return {
        "type": "rect",
        "layer": "below",
        "x0": monday.isoformat(),
        "x1": (monday + timedelta(days=7)).isoformat(),
        "yref": "paper",
        "y0": 0,
        "y1": 1,
        "fillcolor": "token:sunken",
        "line": {"width": 0},
    }


def _line(*, color: str, **ends: Any) -> Trace:
    return {"type": "line", "line": {"color": color, "width": 1}, **ends}
