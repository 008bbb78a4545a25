"""The strip beneath each exercise: one cell a week, aligned by the same place in every week.

The same place is a session of the same name (the nth of that name in its week), and in it the
same exercise in the same part (the nth time it comes there).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.blocks.words import load_text, rest_text, short_targets
from coaching.rules import plan

RISES, FALLS, DIFFERS = "rises", "falls", "differs"
NO_BREAK = "\N{NO-BREAK SPACE}"
SessionPlace = tuple[str, int]


class Place(NamedTuple):
    """Where a line stands, in words that hold in every week."""

    session: SessionPlace
    exercise: int
    part: str
    nth: int


class Spot(NamedTuple):
    """What stands at a place in one week."""

    session: SessionData
    pair: PairData
    line: Line


@dataclass(frozen=True, slots=True)
class StripCell:
    """One exercise in one week; without a uid it does not stand in that week.

    ``mark`` says what it does against the build week before: rises, falls, differs, or
    nothing. ``is_fixed`` is past, begun or locked.
    """

    week: int
    uid: str = ""
    targets: str = ""
    load: str = ""
    besides: str = ""
    mark: str = ""
    is_light: bool = False
    is_shown: bool = False
    is_fixed: bool = False


def session_places(week: WeekData) -> dict[str, SessionPlace]:
    """Each session of a week by its uid: its name, and the how manieth of that name it is."""
    seen: dict[str, int] = {}
    places: dict[str, SessionPlace] = {}
    for session in week["sessions"]:
        nth = seen.get(session["name"], 0)
        places[session["uid"]] = (session["name"], nth)
        seen[session["name"]] = nth + 1
    return places


def _spots(week: WeekData) -> Iterator[tuple[Place, Spot]]:
    places = session_places(week)
    for session in week["sessions"]:
        seen: dict[tuple[int, str], int] = {}
        for pair in session["pairs"]:
            for line in pair["lines"]:
                what = (line["exercise"], pair["part"])
                nth = seen.get(what, 0)
                seen[what] = nth + 1
                yield Place(places[session["uid"]], *what, nth), Spot(session, pair, line)


@dataclass(frozen=True)
class StripSetting:
    """What strips need besides the plan."""

    shown: int
    today: date
    begun: frozenset[str]
    exercises: Mapping[int, plan.Exercise]


def strips_of(snapshot: Snapshot, setting: StripSetting) -> dict[str, tuple[StripCell, ...]]:
    """The strip of every exercise of the week that is shown, by the uid of its line."""
    shown = dict(_spots(snapshot["weeks"][setting.shown - 1]))
    weeks = [
        {place: spot for place, spot in _spots(week) if place in shown}
        for week in snapshot["weeks"]
    ]
    kinds = [week["kind"] for week in snapshot["weeks"]]
    return {spot.line["uid"]: _strip(place, weeks, kinds, setting) for place, spot in shown.items()}


def _strip(
    place: Place, weeks: list[dict[Place, Spot]], kinds: list[str], setting: StripSetting
) -> tuple[StripCell, ...]:
    exercise = setting.exercises[place.exercise]
    spots = [week.get(place) for week in weeks]
    usual = [
        spot.line
        for spot, kind in zip(spots, kinds, strict=True)
        if spot is not None and kind != plan.WeekKind.DELOAD
    ]
    varying = _varying(usual)
    before: Line | None = None
    cells = []
    for number, (spot, kind) in enumerate(zip(spots, kinds, strict=True), start=1):
        is_light = kind == plan.WeekKind.DELOAD
        if spot is None:
            cells.append(StripCell(number, is_light=is_light, is_shown=number == setting.shown))
            continue
        line = spot.line
        mark = "" if is_light or before is None else _mark(before, line, exercise)
        cells.append(
            StripCell(
                week=number,
                uid=line["uid"],
                targets=_targets(line, exercise),
                load=load_text(line["load_kg"], exercise) if line["load_kg"] else "",
                besides=" · ".join(_besides(line, varying)),
                mark=mark,
                is_light=is_light,
                is_shown=number == setting.shown,
                is_fixed=_is_fixed(spot, setting),
            )
        )
        before = before if is_light else line
    return tuple(cells)


def _targets(line: Line, exercise: plan.Exercise) -> str:
    unit = " s" if exercise.measure is plan.Measure.SECONDS else ""
    return short_targets(line["targets"]).replace(" ", NO_BREAK) + unit


def _varying(lines: list[Line]) -> frozenset[str]:
    """What besides targets and load is not the same in every week."""
    return frozenset(
        field
        for field, seen in (
            ("tempo", {line["tempo"] for line in lines}),
            ("rest_s", {line["rest_s"] for line in lines}),
            ("rir", {line["rir"] for line in lines}),
        )
        if len(seen) > 1
    )


def _besides(line: Line, varying: frozenset[str]) -> Iterator[str]:
    if "tempo" in varying:
        yield line["tempo"]
    if "rest_s" in varying:
        yield f"rest {rest_text(line['rest_s'])}"
    if "rir" in varying:
        yield "RIR –" if line["rir"] is None else f"RIR {line['rir']}"


def _mark(before: Line, now: Line, exercise: plan.Exercise) -> str:
    """More load, or with the same load more repetitions or seconds, is a rise."""
    helped = exercise.load_kind is plan.LoadKind.ASSISTED
    was = (-before["load_kg"] if helped else before["load_kg"], sum(before["targets"]))
    is_now = (-now["load_kg"] if helped else now["load_kg"], sum(now["targets"]))
    if is_now != was:
        return RISES if is_now > was else FALLS
    same = all(
        (
            before["targets"] == now["targets"],
            before["tempo"] == now["tempo"],
            before["rest_s"] == now["rest_s"],
            before["rir"] == now["rir"],
        )
    )
    return "" if same else DIFFERS


def _is_fixed(spot: Spot, setting: StripSetting) -> bool:
    session = spot.session
    return (
        session["uid"] in setting.begun
        or session["on"] < setting.today.isoformat()
        or bool(session.get("locked"))
        or bool(spot.pair.get("locked"))
    )
