"""The strip beneath each exercise: one cell a week, aligned by the same place in every week.

The same place is the one that a change “from this week on” goes to (``editing.places``). Where
the exercise is not in that session, what stands there instead is shown by its name: so a swap
for one week is one row.
"""

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from coaching.blocks.editing.places import LinePlace, places_in, same_sessions
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot
from coaching.blocks.words import load_text, rest_words, short_targets
from coaching.rules import plan
from coaching.rules.load_to_choose import is_to_choose

RISES, FALLS, DIFFERS = "rises", "falls", "differs"
_ARROWS = {RISES: "↑", FALLS: "↓"}
NO_BREAK = "\N{NO-BREAK SPACE}"
_Places = Mapping[LinePlace, tuple[PairData, Line]]


class Spot(NamedTuple):
    """What stands at a place in one week; ``is_other`` when it is another exercise."""

    session: SessionData
    pair: PairData
    line: Line
    is_other: bool = False


@dataclass(frozen=True, slots=True)
class StripCell:
    """One exercise in one week; without a uid nothing stands there in that week.

    ``other`` is the name of what stands there instead, ``is_again`` where it did a week before.
    ``mark`` says what it does against the
    usual week before: rises, falls, differs, or nothing. ``is_fixed`` is past, begun or locked.
    ``sets`` are the targets of the shown week one by one, to be written beside on paper, as a load
    is that nobody chose yet.
    """

    week: int
    uid: str = ""
    other: str = ""
    is_again: bool = False
    targets: str = ""
    unit: str = ""
    load: str = ""
    besides: str = ""
    mark: str = ""
    is_light: bool = False
    is_shown: bool = False
    is_fixed: bool = False
    sets: tuple[int, ...] = ()
    is_load_open: bool = False

    @property
    def look(self) -> str:
        """The words of its appearance."""
        words = (
            " is-light" if self.is_light else "",
            " is-shown" if self.is_shown else "",
            f" is-{self.mark}" if self.mark else "",
            " is-other" if self.other else "",
            " is-fixed" if self.is_fixed else "",
        )
        return "".join(words)

    @property
    def arrow(self) -> str:
        """What it does against the week before: up or down."""
        return _ARROWS.get(self.mark, "")

    @property
    def way(self) -> str:
        """The same in a word."""
        return "more" if self.mark == RISES else "less"


@dataclass(frozen=True)
class StripSetting:
    """What strips need besides the plan."""

    shown: int
    today: date
    begun: frozenset[str]
    exercises: Mapping[int, plan.Exercise]


def strips_of(
    snapshot: Snapshot, setting: StripSetting, uids: Set[str]
) -> dict[str, tuple[StripCell, ...]]:
    """The strip of every exercise in those sessions of the shown week, by the uid of its line."""
    weeks = snapshot["weeks"]
    shown = weeks[setting.shown - 1]
    same = [same_sessions(shown, week) for week in weeks]
    kinds = [week["kind"] for week in weeks]
    strips: dict[str, tuple[StripCell, ...]] = {}
    for session in shown["sessions"]:
        if session["uid"] not in uids:
            continue
        own = places_in(session)
        found = [_spots(own, there.get(session["uid"])) for there in same]
        for _, line in own.values():
            spots = [week.get(line["uid"]) for week in found]
            strips[line["uid"]] = _strip(spots, kinds, setting.exercises[line["exercise"]], setting)
    return strips


def _spots(own: _Places, there: SessionData | None) -> dict[str, Spot]:
    """What stands in another week's session at each place of one, by the uid of its line."""
    if there is None:
        return {}
    others = places_in(there)
    spots = {
        line["uid"]: Spot(there, *others[place])
        for place, (_, line) in own.items()
        if place in others
    }
    left = {
        _stands(pair, line): (pair, line)
        for place, (pair, line) in others.items()
        if place not in own
    }
    for pair, line in own.values():
        if line["uid"] not in spots and _stands(pair, line) in left:
            met = left[_stands(pair, line)]
            is_other = met[1]["exercise"] != line["exercise"]
            spots[line["uid"]] = Spot(there, *met, is_other)
    return spots


def _stands(pair: PairData, line: Line) -> tuple[str, int]:
    """Under which letter a line stands, and whether as the first or the second."""
    return pair["letter"], pair["lines"].index(line)


def _strip(
    spots: Sequence[Spot | None],
    kinds: Sequence[str],
    exercise: plan.Exercise,
    setting: StripSetting,
) -> tuple[StripCell, ...]:
    usual = [
        spot.line
        for spot, kind in zip(spots, kinds, strict=True)
        if spot is not None and not spot.is_other and kind != plan.WeekKind.DELOAD
    ]
    varying = _varying(usual)
    before: Line | None = None
    cells: list[StripCell] = []
    for number, (spot, kind) in enumerate(zip(spots, kinds, strict=True), start=1):
        is_light = kind == plan.WeekKind.DELOAD
        if spot is None:
            cells.append(StripCell(number, is_light=is_light, is_shown=number == setting.shown))
            continue
        line = spot.line
        is_compared = not is_light and not spot.is_other
        mark = _mark(before, line, exercise) if before is not None and is_compared else ""
        cell = _cell(number, spot, mark, varying, setting, is_light=is_light)
        if cell.other and cells and cell.other == cells[-1].other:
            cell = replace(cell, is_again=True)
        cells.append(cell)
        before = line if is_compared else before
    return tuple(cells)


def _cell(
    number: int,
    spot: Spot,
    mark: str,
    varying: frozenset[str],
    setting: StripSetting,
    *,
    is_light: bool,
) -> StripCell:
    line, exercise = spot.line, setting.exercises[spot.line["exercise"]]
    return StripCell(
        week=number,
        uid=line["uid"],
        other=line["name"] if spot.is_other else "",
        targets=_unbroken(short_targets(line["targets"])),
        unit=" s" if exercise.measure is plan.Measure.SECONDS else "",
        load=_unbroken(load_text(line["load_kg"], exercise)) if line["load_kg"] else "",
        besides=" · ".join(_besides(line, varying)),
        mark=mark,
        is_light=is_light,
        is_shown=number == setting.shown,
        is_fixed=_is_fixed(spot, setting),
        sets=tuple(line["targets"]) if number == setting.shown else (),
        is_load_open=is_to_choose(exercise, line["load_kg"]),
    )


def _unbroken(words: str) -> str:
    return words.replace(" ", NO_BREAK)


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
        yield rest_words(line["rest_s"])
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
