"""Acts on one line: its values, a step more or less, another exercise in its place."""

from collections.abc import Mapping
from typing import cast

from coaching.blocks.adaptation import converted_targets
from coaching.blocks.editing.places import (
    Edited,
    EditSetting,
    along,
    find_line,
    holder_of,
    line_at,
    reach_words,
    refuse_fixed,
    with_line,
)
from coaching.blocks.editing.values import LineValues, Raw, line_values, reach_of, row_of, text_of
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, PairData, Snapshot, WeekData
from coaching.blocks.words import kilograms, rest_text, short_targets
from coaching.rules.plan import LoadKind, Measure

NOTHING = "Nothing differs from the plan; change a value, or keep it as it was."


def change_line(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Other targets, load, tempo, rest or reserve; only what differs is carried on."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw)
    at = find_line(snapshot, uid)
    session, _, line = line_at(snapshot, at)
    given = line_values(raw)
    values = cast("LineValues", {k: v for k, v in given.items() if v != line[k]})  # type: ignore[literal-required]
    if not values:
        raise BlockError(NOTHING)
    if values.get("load_kg") and setting.exercise(line["exercise"]).load_kind is LoadKind.NONE:
        message = f"Load: {line['name']} takes none; leave it empty, or swap the exercise."
        raise BlockError(message)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        return _changed(week, here[uid], values, setting)

    done = along(snapshot, at.week, reach, [uid], change, values_only=True)
    said = f"{line['name']} {said_values(line, {**line, **values})}"
    what = f"{said}, {session['name']}, {reach_words(snapshot, at.week, reach)}"
    return Edited(done.snapshot, what, focus=uid, skipped=done.skipped)


def _changed(week: WeekData, uid: str, values: LineValues, setting: EditSetting) -> WeekData:
    session, pair = holder_of(week, uid)
    refuse_fixed(session, setting, session["pairs"][pair])

    def changed(_pair: PairData, line: Line) -> Line:
        return cast("Line", {**line, **values})

    return with_line(week, uid, changed)


def said_values(was: Line, now: Line) -> str:
    """What differs between two states of a line: 5 × 6 → 5 × 7, rest 90 s → 60 s."""
    pairs = (
        ("", short_targets(was["targets"]), short_targets(now["targets"])),
        ("", kilograms(was["load_kg"]), kilograms(now["load_kg"])),
        ("tempo ", was["tempo"], now["tempo"]),
        ("rest ", rest_text(was["rest_s"]), rest_text(now["rest_s"])),
        ("RIR ", was["rir"], now["rir"]),
    )
    return ", ".join(
        f"{word}{'–' if before is None else before} → {'–' if after is None else after}"
        for word, before, after in pairs
        if before != after
    )


def swap_line(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Another exercise in the place of one; light weeks follow with their own number of sets."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw)
    row = row_of(raw, "exercise", "Exercise")
    at = find_line(snapshot, uid)
    session, _, line = line_at(snapshot, at)
    if line["exercise"] == row:
        message = f"{line['name']} stands there already; choose another exercise."
        raise BlockError(message)
    given = setting.exercise(row)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        holder, pair = holder_of(week, here[uid])
        refuse_fixed(holder, setting, holder["pairs"][pair])
        return with_line(week, here[uid], lambda _pair, one: swapped(one, row, setting))

    done = along(snapshot, at.week, reach, [uid], change)
    where = f"{session['name']}, {reach_words(snapshot, at.week, reach)}"
    what = f"{line['name']} → {given.name}, {where}"
    return Edited(done.snapshot, what, focus=uid, skipped=done.skipped)


def swapped(line: Line, row: int, setting: EditSetting) -> Line:
    """A line with another exercise: as many sets, targets of its kind, its easiest load."""
    asked, given = setting.exercise(line["exercise"]), setting.exercise(row)
    targets = converted_targets(tuple(line["targets"]), asked.measure, given.measure)
    as_it_was = given.measure is asked.measure and given.measure is not Measure.SECONDS
    return {
        **line,
        "exercise": row,
        "name": given.name,
        "targets": list(targets),
        "load_kg": first_load(row, setting),
        "tempo": line["tempo"] if as_it_was else setting.tempos.get(row, line["tempo"]),
    }


def first_load(row: int, setting: EditSetting) -> float:
    """Where an exercise that is put in starts: with the most help, else with no load written."""
    loads = setting.loads.get(row, ())
    helped = setting.exercise(row).load_kind is LoadKind.ASSISTED
    return loads[0] if helped and loads else 0.0
