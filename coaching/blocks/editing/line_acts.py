"""Acts on one line: its values, a step more or less, another exercise in its place."""

from collections.abc import Callable, Mapping, Sequence
from typing import cast

from coaching.blocks.editing.light_weeks import light_weeks_too, line_in
from coaching.blocks.editing.notation import is_one_number, line_values
from coaching.blocks.editing.places import (
    Change,
    Edited,
    EditSetting,
    find_line,
    holder_of,
    is_light,
    line_at,
    refuse_fixed,
    spread,
    with_line,
)
from coaching.blocks.editing.values import (
    LONGEST_REST,
    LONGEST_SET,
    MOST_RIR,
    MOST_SETS,
    REST_STEP,
    LineValues,
    Raw,
    Reach,
    reach_of,
    row_of,
    step_of,
    text_of,
    whole,
)
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, PairData, Snapshot, WeekData
from coaching.blocks.words import kilograms, rest_text, short_targets
from coaching.rules.load_to_choose import is_to_choose
from coaching.rules.loads import next_load_down, next_load_up
from coaching.rules.numbers import HOLD_STEP
from coaching.rules.plan import LoadKind, Measure, Part
from coaching.rules.swapped_targets import swapped_targets

NOTHING = "Nothing differs from the plan; change a value, or keep it as it was."


def change_line(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Other targets, load, tempo, rest or reserve; only what differs is carried on."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw, may_be_alike=True)
    at = find_line(snapshot, uid)
    session, _, line = line_at(snapshot, at)
    given = line_values(raw, line, setting.exercise(line["exercise"]))
    values = cast("LineValues", {k: v for k, v in given.items() if v != line[k]})  # type: ignore[literal-required]
    if not values:
        raise BlockError(NOTHING)
    each_own = "targets" in values and is_one_number(raw["targets"])
    first_choice = "load_kg" in values and is_to_choose(
        setting.exercise(line["exercise"]), line["load_kg"]
    )
    light = is_light(snapshot["weeks"][at.week])

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        if reach is Reach.ALIKE and _differ(line, line_in(week, here[uid]), values):
            return week
        own = _own_number(week, here[uid], values) if each_own else values
        if is_light(week) is not light:
            # A load that is chosen first in a light week is none in a usual one either.
            own = {"load_kg": values["load_kg"]}
        return _changed(week, here[uid], own, setting)

    said = f"{line['name']} {said_values(line, {**line, **values})}, {session['name']}"
    return _with_light_weeks(
        snapshot,
        at.week,
        reach,
        [uid],
        change,
        setting,
        said=said,
        everywhere=first_choice and light,
    )


def _with_light_weeks(
    snapshot: Snapshot,
    at: int,
    reach: Reach,
    uids: Sequence[str],
    change: Change,
    setting: EditSetting,
    *,
    said: str,
    everywhere: bool = False,
) -> Edited:
    """Values carried on; of what was changed in a usual week light ones take how it is done."""
    edited = spread(
        snapshot, at, reach, uids, change, said=said, focus=uids[0], values_only=not everywhere
    )
    if reach is Reach.WEEK or is_light(snapshot["weeks"][at]):
        return edited
    return light_weeks_too(snapshot, edited, at, uids, setting)


def _differ(one: Line, other: Line, values: LineValues) -> bool:
    """Whether what is changed stood otherwise in another week."""
    was, then = (cast("Mapping[str, object]", line) for line in (one, other))
    return any(was[key] != then[key] for key in values)


def _own_number(week: WeekData, uid: str, values: LineValues) -> LineValues:
    """One number for all sets: a week keeps as many sets as it has."""
    sets = len(line_in(week, uid)["targets"])
    return {**values, "targets": values["targets"][:1] * sets}


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


def nudge_line(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """One step of sets, reps, load, rest or rir up or down, each week from its own value."""
    return _nudged(snapshot, raw, setting, [text_of(raw, "line", "Exercise")])


def nudge_pair(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """The same for both exercises of a pair, so that a push gains what its pull does."""
    uid = text_of(raw, "line", "Exercise")
    _, pair, _ = line_at(snapshot, find_line(snapshot, uid))
    others = [line["uid"] for line in pair["lines"] if line["uid"] != uid]
    return _nudged(snapshot, raw, setting, [uid, *others])


def _nudged(snapshot: Snapshot, raw: Raw, setting: EditSetting, uids: Sequence[str]) -> Edited:
    reach, by = reach_of(raw), step_of(raw)
    field = text_of(raw, "field", "Field")
    step = _STEPS.get(field)
    if step is None:
        message = f"Field: “{field}” has no steps; choose sets, reps, load, rest or rir."
        raise BlockError(message)
    at = find_line(snapshot, uids[0])
    session, pair, _ = line_at(snapshot, at)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        for uid in uids:
            own = line_in(week, here[uid])
            week = _changed(week, here[uid], step(own, by, setting), setting)
        return week

    words = " and ".join(
        f"{line['name']} {said_values(line, {**line, **step(line, by, setting)})}"
        for line in pair["lines"]
        if line["uid"] in uids
    )
    said = f"{words}, {session['name']}"
    return _with_light_weeks(snapshot, at.week, reach, uids, change, setting, said=said)


def _nudged_sets(line: Line, by: int, _setting: EditSetting) -> LineValues:
    targets = [*line["targets"], line["targets"][-1]] if by > 0 else line["targets"][:-1]
    whole(str(len(targets)), f"Sets of {line['name']}", 1, MOST_SETS)
    return {"targets": targets}


def _nudged_reps(line: Line, by: int, setting: EditSetting) -> LineValues:
    """A repetition on every set; a hold goes by its own step."""
    holds = setting.exercise(line["exercise"]).measure is Measure.SECONDS
    step = by * (int(HOLD_STEP.value) if holds else 1)
    targets = [target + step for target in line["targets"]]
    for target in targets:
        whole(str(target), f"Targets of {line['name']}", 1, LONGEST_SET)
    return {"targets": targets}


def _nudged_load(line: Line, by: int, setting: EditSetting) -> LineValues:
    """The next load that the equipment makes; up is harder, which is less help."""
    exercise = setting.exercise(line["exercise"])
    if exercise.load_kind is LoadKind.NONE:
        message = f"Load: {line['name']} takes none; swap the exercise to make it harder."
        raise BlockError(message)
    loads = setting.loads.get(line["exercise"], ())
    step = next_load_up if by > 0 else next_load_down
    load = step(line["load_kg"], loads, assisted=exercise.load_kind is LoadKind.ASSISTED)
    if load is None:
        way = "heavier" if by > 0 else "lighter"
        message = f"Load: the equipment makes nothing {way} for {line['name']}; write a load in."
        raise BlockError(message)
    return {"load_kg": load}


def _nudged_rest(line: Line, by: int, _setting: EditSetting) -> LineValues:
    rest = line["rest_s"] + by * REST_STEP
    return {"rest_s": whole(str(rest), f"Rest of {line['name']}", 0, LONGEST_REST)}


def _nudged_rir(line: Line, by: int, _setting: EditSetting) -> LineValues:
    """From nothing written down the first step writes 0."""
    rir = 0 if line["rir"] is None else line["rir"] + by
    return {"rir": whole(str(rir), f"RIR of {line['name']}", 0, MOST_RIR)}


_STEPS: Mapping[str, Callable[[Line, int, EditSetting], LineValues]] = {
    "sets": _nudged_sets,
    "reps": _nudged_reps,
    "load": _nudged_load,
    "rest": _nudged_rest,
    "rir": _nudged_rir,
    "load_kg": _nudged_load,
    "rest_s": _nudged_rest,
}


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
        return with_line(
            week, here[uid], lambda pair, one: swapped(one, row, Part(pair["part"]), setting)
        )

    said = f"{line['name']} → {given.name}, {session['name']}"
    return spread(snapshot, at.week, reach, [uid], change, said=said, focus=uid)


def swapped(line: Line, row: int, part: Part, setting: EditSetting) -> Line:
    """A line with another exercise: as many sets, targets of its kind, its easiest load."""
    asked, given = setting.exercise(line["exercise"]), setting.exercise(row)
    targets = swapped_targets(line["targets"], asked, given, part)
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
