"""Figures of ability over time: what one exercise can do in kg, and what all share in per cent.

Plain data for Plotly; colours are words that the page's tokens fill in.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from coaching.rules.ability_course import AbilityCourse, Band, LevelOn, SharedOn
from coaching.rules.plan import Exercise, Pattern, WeekKind
from coaching.rules.shown_strength import DaySets, lighter_days

Trace = dict[str, Any]
Point = tuple[date, float]
DELOAD, LIGHTER, PLANNED = "light week", "lighter work", "planned"


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


@dataclass(frozen=True)
class _Frame:
    """What a figure has room for: its days and its values."""

    unit: str
    days: tuple[date, ...]
    low: float
    high: float


def look_of(exercise: Exercise | None) -> Look:
    """Push and pull differ by hue and by texture."""
    if exercise is None:
        return NEITHER
    return {Pattern.PUSH: PUSH, Pattern.PULL: PULL}.get(exercise.pattern, NEITHER)


def names_in(figure: Mapping[str, Any]) -> frozenset[str]:
    """What there is to see in a figure, by the names of what is drawn."""
    return frozenset(one["name"] for one in figure["data"] if "name" in one and one["x"])


def exercise_figure(
    levels: Sequence[LevelOn], days: Sequence[DaySets], *, onset: date | None
) -> dict[str, Any]:
    """One exercise: ability with its band, what was planned, the sets, and where a fall began."""
    look = look_of(days[0].exercise)
    asked = [(day.on, kg) for day in days for kg in day.asked]
    shown = [(day.on, one) for day in days for one in day.shown]
    frame = _frame("kg", levels, [kg for _, kg in asked] + [one.kg for _, one in shown])
    data = [
        *_planned_light(frame, days, lighter_days(days)),
        *_course(levels, look, frame.unit),
        _asked(asked),
        *(
            _sets(
                [(on, one.kg) for on, one in shown if one.at_least == least],
                look,
                frame,
                at_least=least,
            )
            for least in (True, False)
        ),
        _middle(levels, look, frame.unit),
    ]
    return {"data": data, "layout": _layout(frame, onset)}


def shared_ability_figure(
    course: AbilityCourse, days: Mapping[str, Sequence[DaySets]], *, onset: date | None
) -> dict[str, Any]:
    """What all exercises share, and each exercise's best set of a day beside its own ability.

    A set that was stopped at its target is left out where it shows less than the band
    holds anyway: it says nothing there.
    """
    known = course.shared
    low_on = {one.on: one.now.low for one in known}
    points = [
        (one, _per_cent(one.best.kg, unshared)) for one, unshared in _beside_ability(course, days)
    ]
    points = [(d, y) for d, y in points if not d.best.at_least or y >= low_on.get(d.on, y)]
    frame = _frame("%", known, [0.0, *(y for _, y in points)])
    every = [day for found in days.values() for day in found]
    data = [*_planned_light(frame, every, ()), *_course(known, NEITHER, frame.unit)]
    for look in (NEITHER, PULL, PUSH):
        same = [(d, y) for d, y in points if look_of(d.exercise) is look]
        for least in (True, False):
            chosen = [(d.on, y) for d, y in same if d.best.at_least == least]
            data.append(_sets(chosen, look, frame, at_least=least))
    data.append(_middle(known, NEITHER, frame.unit))
    layout = _layout(frame, onset)
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


def _frame(unit: str, known: Sequence[LevelOn | SharedOn], values: Sequence[float]) -> _Frame:
    """Room for the band, both middles and the points, and a little air."""
    held = [*values, *(one.then.middle for one in known)]
    held += [end for one in known for end in (one.now.low, one.now.high)]
    air = 0.06 * (max(held) - min(held))
    return _Frame(unit, tuple(one.on for one in known), min(held) - air, max(held) + air)


def _x(days: Iterable[date]) -> list[str]:
    return [on.isoformat() for on in days]


def _rounded(values: Iterable[float]) -> list[float]:
    return [round(value, 1) for value in values]


def _course(known: Sequence[LevelOn | SharedOn], look: Look, unit: str) -> list[Trace]:
    """The band as known now, filled, and as known then, dashed with dotted ends."""
    now, then = [one.now for one in known], [one.then for one in known]
    edge = {"x": _x(one.on for one in known), "mode": "lines", "hoverinfo": "skip"}
    bare, dotted = {"width": 0}, {"color": "token:ink-soft/0.7", "width": 1, "dash": "dot"}
    filled: Trace = {"fill": "tonexty", "fillcolor": look.wash, "name": "band"}
    if look.texture:
        filled["fillpattern"] = {
            "shape": look.texture,
            "fgcolor": f"{look.ink}/0.35",
            "bgcolor": look.wash,
            "size": 7,
            "solidity": 0.16,
        }
    return [
        {**edge, "line": bare, "y": _rounded(one.low for one in now)},
        {**edge, "line": bare, "y": _rounded(one.high for one in now), **filled},
        {**edge, "line": dotted, "y": _rounded(one.low for one in then)},
        {**edge, "line": dotted, "y": _rounded(one.high for one in then)},
        {
            "x": edge["x"],
            "line": {"color": "token:ink-soft", "width": 1.5, "dash": "dash"},
            **_said(then, "as known then", unit),
        },
    ]


def _middle(known: Sequence[LevelOn | SharedOn], look: Look, unit: str) -> Trace:
    return {
        "x": _x(one.on for one in known),
        "line": {"color": look.ink, "width": 2.5},
        **_said([one.now for one in known], "ability", unit),
    }


def _said(bands: Sequence[Band], name: str, unit: str) -> Trace:
    """The middles of some bands as a line that tells their ends on hover."""
    return {
        "y": _rounded(one.middle for one in bands),
        "customdata": [_rounded((one.low, one.high)) for one in bands],
        "mode": "lines",
        "name": name,
        "hovertemplate": f"%{{x|%-d %b}}: %{{y:.1f}} {unit}, "
        f"%{{customdata[0]}} to %{{customdata[1]}}<extra>{name}</extra>",
    }


def _asked(points: Sequence[Point]) -> Trace:
    return {
        "x": _x(on for on, _ in points),
        "y": _rounded(value for _, value in points),
        "mode": "markers",
        "marker": {"symbol": "line-ew", "size": 12, "line": {"color": "token:ink", "width": 2}},
        "name": PLANNED,
        "hovertemplate": f"%{{x|%-d %b}}: target asks %{{y:.1f}} kg<extra>{PLANNED}</extra>",
    }


def _sets(points: Sequence[Point], look: Look, frame: _Frame, *, at_least: bool) -> Trace:
    words = "at least " if at_least else ""
    return {
        "x": _x(on for on, _ in points),
        "y": _rounded(value for _, value in points),
        "mode": "markers",
        "marker": {
            "symbol": f"{look.shape}-open" if at_least else look.shape,
            "size": 7 if frame.unit == "kg" else 5,
            "color": look.ink,
            "opacity": 0.8 if frame.unit == "kg" else 0.5,
        },
        "name": "sets",
        "hovertemplate": f"%{{x|%-d %b}}: {words}%{{y:.1f}} {frame.unit}<extra>set</extra>",
    }


def _planned_light(
    frame: _Frame, days: Iterable[DaySets], lighter: Iterable[date]
) -> Iterable[Trace]:
    """Deload weeks from Monday to Monday, and single days of lighter work."""
    light = {day.on for day in days if day.kind is WeekKind.DELOAD}
    mondays = sorted({on - timedelta(days=on.weekday()) for on in light})
    weeks = [(monday, monday + timedelta(days=7)) for monday in mondays]
    around = timedelta(days=1)
    yield _shade(DELOAD, "\\", weeks, frame)
    yield _shade(LIGHTER, "|", [(on - around, on + around) for on in lighter], frame)


def _shade(name: str, texture: str, spans: Sequence[tuple[date, date]], frame: _Frame) -> Trace:
    """Upright bands in one trace, with gaps between them."""
    x: list[str | None] = []
    y: list[float | None] = []
    for start, end in spans:
        first, last = _x((max(start, frame.days[0]), min(end, frame.days[-1])))
        x += [first, first, last, last, first, None]
        y += [frame.low, frame.high, frame.high, frame.low, frame.low, None]
    return {
        "x": x,
        "y": y,
        "mode": "lines",
        "line": {"width": 0},
        "fill": "toself",
        "fillcolor": "token:sunken",
        "fillpattern": {
            "shape": texture,
            "fgcolor": "token:line-strong/0.45",
            "bgcolor": "token:sunken",
            "size": 4 if name == LIGHTER else 8,
            "solidity": 0.12,
        },
        "hoverinfo": "skip",
        "name": name,
    }


def _layout(frame: _Frame, onset: date | None) -> dict[str, Any]:
    first, last, air = frame.days[0], frame.days[-1], timedelta(days=2)
    layout: dict[str, Any] = {
        "template": None,
        "margin": {"l": 60, "r": 12, "t": 30, "b": 36},
        "xaxis": {
            "type": "date",
            "tickformat": "%-d %b",
            "nticks": 4,
            "showgrid": False,
            "range": _x((first - air, last + air)),
        },
        "yaxis": {
            "ticksuffix": f" {frame.unit}",
            "nticks": 6,
            "zeroline": False,
            "range": _rounded((frame.low, frame.high)),
        },
        "shapes": [],
        "annotations": [],
    }
    if onset is not None and first <= onset <= last:
        line = _line(x0=onset.isoformat(), yref="paper", y0=0, y1=1, color="token:accent")
        line |= {"x1": line["x0"]}
        line["line"] |= {"width": 2, "dash": "dot"}
        layout["shapes"].append(line)
        layout["annotations"].append(_onset_words(onset, late=onset - first > last - onset))
    return layout


def _onset_words(onset: date, *, late: bool) -> Trace:
    """Beside the line on the side where there is more room."""
    return {
        "x": onset.isoformat(),
        "xanchor": "right" if late else "left",
        "y": 1,
        "yref": "paper",
        "yanchor": "bottom",
        "text": f"since {onset.day} {onset:%b}",
        "showarrow": False,
        "font": {"color": "token:accent", "size": 14},
    }


def _line(*, color: str, **ends: Any) -> Trace:
    return {"type": "line", "line": {"color": color, "width": 1}, **ends}
