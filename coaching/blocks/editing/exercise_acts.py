"""Acts that bring an exercise into a session or take one out of it."""

from collections.abc import Callable, Mapping, Sequence
from uuid import uuid4

from coaching.blocks.editing.line_acts import first_load, swapped
from coaching.blocks.editing.pair_acts import joined, taken_out, with_pairs
from coaching.blocks.editing.places import (
    GONE,
    Edited,
    EditSetting,
    find_line,
    find_session,
    holder_of,
    is_fixed,
    line_at,
    lines_in,
    refuse_fixed,
    refuse_locked,
    session_in,
    spread,
    with_session,
)
from coaching.blocks.editing.values import Raw, part_of, reach_of, row_of, text_of
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.rules.numbers import DELOAD_SHARE, HOLD_LONGEST, PLANNED_DOSE
from coaching.rules.plan import Exercise, Measure, Part, Pattern, WeekKind
from coaching.rules.swapped_targets import converted_targets

_PARTS = [part.value for part in Part]
_USUAL_TEMPO = "3-0-1-0"


def add_exercise(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """An exercise with what its part usually asks: after a line, beside one, or last of its part.

    Light weeks get ``DELOAD_SHARE`` of its sets.
    """
    to, reach = text_of(raw, "session", "Session"), reach_of(raw)
    row = row_of(raw, "exercise", "Exercise")
    exercise = setting.exercise(row)
    after, beside = raw.get("after", ""), raw.get("beside", "")
    at, session = find_session(snapshot, to)
    part = part_of(raw) or _part_for(exercise, session, after or beside)
    new = str(uuid4())
    for place in filter(None, (after, beside)):
        if not any(line["uid"] == place for _, line in lines_in(session)):
            message = f"The place to add it at {GONE}"
            raise BlockError(message)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        target = session_in(week, here[to])
        refuse_fixed(target, setting)
        is_light = week["kind"] == WeekKind.DELOAD
        uid = new if here[to] == to else str(uuid4())
        line = _new_line(uid, row, part, setting, is_light=is_light)
        if beside:
            _, met = holder_of(week, here[beside])
            refuse_fixed(target, setting, target["pairs"][met])
            pairs = joined(target["pairs"], here[beside], line, part.value)
        else:
            alone: PairData = {"letter": "", "part": part.value, "lines": [line]}
            pairs = _put_in(target["pairs"], alone, here.get(after, ""))
        return with_session(week, here[to], lambda one: with_pairs(one, pairs))

    uids = [to, beside] if beside else [to]
    maybe = [after] if after else []
    said = f"{exercise.name} added to {session['name']}"
    return spread(snapshot, at, reach, uids, change, said=said, focus=new, maybe=maybe)


def _part_for(exercise: Exercise, session: SessionData, near: str) -> Part:
    """The part of what it is put beside, else the one that such an exercise usually belongs to."""
    for pair, line in lines_in(session):
        if line["uid"] == near:
            return Part(pair["part"])
    if exercise.pattern is Pattern.PREHAB:
        return Part.PREHAB
    return Part.SUPPLEMENTARY if exercise.multi_joint else Part.ISOLATION


def _new_line(uid: str, row: int, part: Part, setting: EditSetting, *, is_light: bool) -> Line:
    exercise = setting.exercise(row)
    sets, reps, rest, rir = (int(number) for number in PLANNED_DOSE.rows[part.value])
    if is_light:
        sets = max(1, round(sets * DELOAD_SHARE.value))
    targets = converted_targets((reps,) * sets, Measure.REPS, exercise.measure)
    if exercise.measure is Measure.SECONDS:
        targets = tuple(min(target, int(HOLD_LONGEST.value)) for target in targets)
    return {
        "uid": uid,
        "exercise": row,
        "name": exercise.name,
        "targets": list(targets),
        "load_kg": first_load(row, setting),
        "tempo": setting.tempos.get(row, _USUAL_TEMPO),
        "rest_s": rest,
        "rir": rir,
    }


def _put_in(pairs: Sequence[PairData], new: PairData, after: str) -> list[PairData]:
    """After the pair of a line, else after the last pair that is done before such a part."""
    at = 0
    for index, pair in enumerate(pairs, start=1):
        if after and any(line["uid"] == after for line in pair["lines"]):
            return [*pairs[:index], new, *pairs[index:]]
        if _PARTS.index(pair["part"]) <= _PARTS.index(new["part"]):
            at = index
    return [*pairs[:at], new, *pairs[at:]]


def remove_line(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """An exercise out of its session; the session stays, even with nothing left in it."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw)
    at = find_line(snapshot, uid)
    session, _, line = line_at(snapshot, at)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        holder, index = holder_of(week, here[uid])
        refuse_fixed(holder, setting, holder["pairs"][index])
        pairs = taken_out(holder["pairs"], here[uid])
        return with_session(week, holder["uid"], lambda one: with_pairs(one, pairs))

    said = f"{line['name']} removed from {session['name']}"
    return spread(snapshot, at.week, reach, [uid], change, said=said, focus=_next(session, uid))


def _next(session: SessionData, uid: str) -> str:
    """What to go on with when a line is gone: the one after it, the one before, the session."""
    uids = [line["uid"] for _, line in lines_in(session)]
    at = uids.index(uid)
    return next(iter([*uids[at + 1 :], *reversed(uids[:at])]), session["uid"])


def replace_exercise(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Another exercise in the place of one in every session to come, light weeks too."""
    row, to = row_of(raw, "exercise", "Exercise"), row_of(raw, "to", "To")
    given = setting.exercise(to)
    if row == to:
        message = f"To: {given.name} stands there already; choose another exercise."
        raise BlockError(message)

    def change(pair: PairData) -> PairData:
        part = Part(pair["part"])
        lines = [
            swapped(one, to, part, setting) if one["exercise"] == row else one
            for one in pair["lines"]
        ]
        return {**pair, "lines": lines}

    plan, name, skipped = _everywhere(snapshot, row, setting, change)
    return Edited(plan, f"{name} → {given.name}, in every session to come", skipped=skipped)


def leave_out(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """An exercise out of every session to come; a session left with nothing goes too."""
    row = row_of(raw, "exercise", "Exercise")

    def change(pair: PairData) -> PairData:
        return {**pair, "lines": [ln for ln in pair["lines"] if ln["exercise"] != row]}

    plan, name, skipped = _everywhere(snapshot, row, setting, change)
    had = {s["uid"] for w in snapshot["weeks"] for s in w["sessions"] if s["pairs"]}
    weeks: list[WeekData] = [
        {**week, "sessions": [s for s in week["sessions"] if s["pairs"] or s["uid"] not in had]}
        for week in plan["weeks"]
    ]
    coming = [s for week in weeks for s in week["sessions"] if not is_fixed(s, setting)]
    if not any(pair["lines"] for session in coming for pair in session["pairs"]):
        message = f"Without {name} nothing is left to train; make another block."
        raise BlockError(message)
    return Edited({"weeks": weeks}, f"{name} removed from every session to come", skipped=skipped)


def _everywhere(
    snapshot: Snapshot, row: int, setting: EditSetting, change: Callable[[PairData], PairData]
) -> tuple[Snapshot, str, tuple[str, ...]]:
    """Every pair to come that holds an exercise changed, its name, and what is locked."""
    names: list[str] = []
    skipped: list[str] = []

    def session(one: SessionData, number: int) -> SessionData:
        held = [line["name"] for _, line in lines_in(one) if line["exercise"] == row]
        if not held or is_fixed(one, setting):
            return one
        names.extend(held)
        pairs = list(one["pairs"])
        for index, pair in enumerate(pairs):
            if any(line["exercise"] == row for line in pair["lines"]):
                try:
                    refuse_locked(one, pair)
                except BlockError as error:
                    skipped.append(f"Week {number} is left as it is: {error}")
                else:
                    pairs[index] = change(pair)
        return with_pairs(one, pairs) if pairs != one["pairs"] else one

    weeks: list[WeekData] = [
        {**week, "sessions": [session(one, number) for one in week["sessions"]]}
        for number, week in enumerate(snapshot["weeks"], start=1)
    ]
    if weeks == snapshot["weeks"]:
        message = skipped[0] if skipped else "Exercise: it is in no session to come any more."
        raise BlockError(message)
    return {"weeks": weeks}, names[0], tuple(skipped)
