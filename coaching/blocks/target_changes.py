"""New targets of exercises in the sessions to come of a block, and what of them light weeks take over.

A light week never asks for more than the usual one does: it follows a step back and an exercise
that goes out, and stays as it is when the usual weeks step up.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from coaching.blocks.snapshots import (
    Line,
    PairData,
    SessionData,
    Snapshot,
    WeekData,
    with_lines_changed,
)
from coaching.rules.plan import LoadKind, WeekKind
from coaching.rules.stair import in_sets


@dataclass(frozen=True, slots=True)
class TargetChange:
    """New targets for one exercise in one part of all coming sessions of a block.

    ``swap_to`` names another exercise's row when the rung or the exercise changes; ``tempo``
    is given where the new one is not done in that of the old. With ``light_too`` light weeks
    follow: in the same exercise, no heavier, and with as much left out as before. ``lines`` are
    the uids of those that it is about, all of the exercise in that part where it is none. With
    ``own_sets`` every line keeps as many sets as it has.
    """

    exercise_id: int
    part: str
    targets: tuple[int, ...]
    load_kg: float
    swap_to: int | None = None
    tempo: str | None = None
    light_too: bool = False
    lines: frozenset[str] | None = None
    own_sets: bool = False

    def is_about(self, pair: PairData, line: Line) -> bool:
        """Whether it changes a line."""
        place = (self.exercise_id, self.part)
        is_own = self.lines is None or line["uid"] in self.lines
        return is_own and (line["exercise"], pair["part"]) == place


class StepBacks(NamedTuple):
    """What steps back in a light week that is put in, and from which day on in the weeks after it.

    Without a day only the light week is made from it.
    """

    changes: tuple[TargetChange, ...] = ()
    carried_from: date | None = None


class Named(NamedTuple):
    """What a change has to know of an exercise."""

    name: str
    load_kind: str


def with_targets(
    snapshot: Snapshot,
    changes: Sequence[TargetChange],
    since: date,
    exercises: Mapping[int, Named],
) -> Snapshot:
    """The block with new targets from a day on; ``exercises`` holds all that are named, by row id."""

    def changed(pair: PairData, line: Line) -> Line:
        change = _change_for(changes, pair, line)
        return _changed_line(line, change, exercises) if change else line

    after = with_lines_changed(
        snapshot,
        lambda _session, pair, line: _change_for(changes, pair, line) is not None,
        changed,
        since=since,
    )
    usual: list[WeekData] = []
    weeks = list(after["weeks"])
    for index, week in enumerate(snapshot["weeks"]):
        if week["kind"] != WeekKind.DELOAD.value:
            usual.append(week)
        else:
            weeks[index] = _light_week(week, usual, changes, since, exercises)
    return {"weeks": weeks}


def _light_week(
    week: WeekData,
    usual: Sequence[WeekData],
    changes: Sequence[TargetChange],
    since: date,
    exercises: Mapping[int, Named],
) -> WeekData:
    """A light week that follows the changes of the usual weeks before it, where they say so."""

    def follows(_session: SessionData, pair: PairData, line: Line) -> bool:
        change = _change_for(changes, pair, line)
        return change is not None and change.light_too

    def followed(pair: PairData, line: Line) -> Line:
        change = _change_for(changes, pair, line)
        if change is None:
            return line
        changed = _changed_line(line, change, exercises)
        return _following(line, _last_asked(usual, change), changed, exercises)

    alone: Snapshot = {"weeks": [week]}
    (made,) = with_lines_changed(alone, follows, followed, since=since, light_too=True)["weeks"]
    return made


def _change_for(changes: Sequence[TargetChange], pair: PairData, line: Line) -> TargetChange | None:
    return next((one for one in changes if one.is_about(pair, line)), None)


def _changed_line(line: Line, change: TargetChange, exercises: Mapping[int, Named]) -> Line:
    sets = len(line["targets"]) if change.own_sets else len(change.targets)
    targets = list(in_sets(change.targets, sets))
    result: Line = {**line, "targets": targets, "load_kg": change.load_kg}
    if change.swap_to is not None:
        result["exercise"] = change.swap_to
        result["name"] = exercises[change.swap_to].name
    if change.tempo is not None:
        result["tempo"] = change.tempo
    return result


def _last_asked(usual: Sequence[WeekData], change: TargetChange) -> Line | None:
    """What the last usual week with it asked, at the most; none when no week had it."""
    for week in reversed(usual):
        own = [line for pair, line in _lines(week) if change.is_about(pair, line)]
        if own:
            return max(own, key=lambda line: sum(line["targets"]))
    return None


def _lines(week: WeekData) -> Iterator[tuple[PairData, Line]]:
    for session in week["sessions"]:
        for pair in session["pairs"]:
            for line in pair["lines"]:
                yield pair, line


def _following(light: Line, was: Line | None, now: Line, exercises: Mapping[int, Named]) -> Line:
    """A light line that follows the usual one: in its own sets, and no more in any of them."""
    result: Line = {**now, "rir": light["rir"]}
    if light["tempo"] != now["tempo"]:
        result["targets"] = now["targets"][: len(light["targets"])]
        return result
    is_as_heavy = was is not None and light["load_kg"] == was["load_kg"]
    is_same = light["exercise"] == now["exercise"]
    before = was["targets"] if was is not None and (is_as_heavy or not is_same) else None
    result["targets"] = _less(light["targets"], before, now["targets"])
    if is_same and _is_lighter(light, now, exercises):
        result["load_kg"] = light["load_kg"]
    return result


def _less(light: list[int], was: list[int] | None, now: list[int]) -> list[int]:
    """As far below what is asked now as it was below what was asked before, one at the least."""
    found = []
    for at, own in enumerate(light):
        new = now[min(at, len(now) - 1)]
        left_out = max(0, was[min(at, len(was) - 1)] - own) if was else 0
        found.append(max(1, min(own, new - left_out)))
    return found


def _is_lighter(one: Line, other: Line, exercises: Mapping[int, Named]) -> bool:
    """Whether a line is lighter than another of the same exercise."""
    known = exercises.get(one["exercise"])
    if known is not None and known.load_kind == LoadKind.ASSISTED.value:
        return one["load_kg"] > other["load_kg"]
    return one["load_kg"] < other["load_kg"]


def light_weeks_following(
    before: Snapshot, after: Snapshot, change: TargetChange
) -> tuple[int, ...]:
    """The numbers of the light weeks in which what a change is about is another now."""
    then = {line["uid"]: (pair, line) for week in before["weeks"] for pair, line in _lines(week)}

    def is_changed(now: Line) -> bool:
        pair, line = then.get(now["uid"], (None, now))
        return pair is not None and line != now and change.is_about(pair, line)

    return tuple(
        number
        for number, week in enumerate(after["weeks"], start=1)
        if week["kind"] == WeekKind.DELOAD.value
        and any(is_changed(line) for _pair, line in _lines(week))
    )
