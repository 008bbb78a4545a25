"""What of an edit of later weeks goes on into a light week: how an exercise is done.

A light week keeps the load of the usual one and cuts sets and repetitions (``rules.deload``), so
load, tempo, rest and reserve go on where they stood as in the usual week before it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import cast

from coaching.blocks.editing.places import (
    Edited,
    EditSetting,
    holder_of,
    is_light,
    lines_in,
    refuse_fixed,
    same_places,
    with_line,
)
from coaching.blocks.editing.values import LineValues
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, PairData, Snapshot, WeekData
from coaching.rules.findings import listed

KEPT: Mapping[str, str] = {
    "load_kg": "load",
    "tempo": "tempo",
    "rest_s": "rest",
    "rir": "RIR",
}
"""What a light week keeps of the usual one, in words."""


def line_in(week: WeekData, uid: str) -> Line:
    """A line of the week."""
    holder, _ = holder_of(week, uid)
    return next(line for _, line in lines_in(holder) if line["uid"] == uid)


def light_weeks_too(
    before: Snapshot, edited: Edited, at: int, uids: Sequence[str], setting: EditSetting
) -> Edited:
    """The edit of a usual week and later ones, with what goes on into their light weeks."""
    weeks, skipped = list(edited.snapshot["weeks"]), list(edited.skipped)
    first, usual, told = before["weeks"][at], at, []
    for index in range(at + 1, len(weeks)):
        if not is_light(weeks[index]):
            usual = index
            continue
        pair = before["weeks"][usual], weeks[usual]
        given = _given(weeks[index], pair, first, uids)
        try:
            weeks[index] = _with_all(weeks[index], given, setting)
        except BlockError as error:
            skipped.append(f"Week {index + 1} is left as it is: {error}")
        else:
            told += [f"{_named(given)} in light week {index + 1} too"] if given else []
    what = ", ".join([edited.what, *told])
    return replace(edited, snapshot={"weeks": weeks}, what=what, skipped=tuple(skipped))


def _given(
    light: WeekData, usual: tuple[WeekData, WeekData], first: WeekData, uids: Sequence[str]
) -> dict[str, LineValues]:
    """For each line of a light week what it takes over from the usual week before it."""
    was, now = usual
    there, here = same_places(first, was, uids), same_places(first, light, uids)
    found = {}
    for uid in uids:
        if uid in there and uid in here:
            lines = line_in(light, here[uid]), line_in(was, there[uid]), line_in(now, there[uid])
            if values := _taken_over(*lines):
                found[here[uid]] = values
    return found


def _taken_over(light: Line, was: Line, now: Line) -> LineValues:
    own, before, after = (cast("Mapping[str, object]", one) for one in (light, was, now))
    values = {
        key: after[key] for key in KEPT if own[key] == before[key] and before[key] != after[key]
    }
    return cast("LineValues", values)


def _with_all(week: WeekData, given: Mapping[str, LineValues], setting: EditSetting) -> WeekData:
    for uid, values in given.items():
        session, pair = holder_of(week, uid)
        refuse_fixed(session, setting, session["pairs"][pair])
        changed = cast("Line", {**line_in(week, uid), **values})
        week = with_line(week, uid, partial(_put, changed))
    return week


def _put(line: Line, _pair: PairData, _was: Line) -> Line:
    return line


def _named(given: Mapping[str, LineValues]) -> str:
    return listed([word for key, word in KEPT.items() if any(key in one for one in given.values())])
