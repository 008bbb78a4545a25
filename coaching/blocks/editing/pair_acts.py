"""Acts on pairs: where an exercise stands, and with which other one it is done in turn."""

from collections.abc import Iterator, Mapping, Sequence
from string import ascii_uppercase

from coaching.blocks.editing.places import (
    GONE,
    Edited,
    EditSetting,
    along,
    find_line,
    find_session,
    holder_of,
    line_at,
    reach_words,
    refuse_fixed,
    session_in,
    with_session,
)
from coaching.blocks.editing.values import Raw, reach_of, text_of
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData


def letters() -> Iterator[str]:
    """A, B, C ... Z, AA, AB ..."""
    yield from ascii_uppercase
    for first in ascii_uppercase:
        for second in ascii_uppercase:
            yield first + second


def lettered(pairs: Sequence[PairData]) -> list[PairData]:
    """Pairs with letters in their order; one that has its letter already stays the same."""
    return [
        pair if pair["letter"] == letter else {**pair, "letter": letter}
        for letter, pair in zip(letters(), pairs, strict=False)
    ]


def with_pairs(session: SessionData, pairs: Sequence[PairData]) -> SessionData:
    """A session with other pairs; what is left empty goes, letters follow."""
    return {**session, "pairs": lettered([pair for pair in pairs if pair["lines"]])}


def move_line(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """An exercise to another place of its session or of another one in the week."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw)
    to = text_of(raw, "session", "Session")
    before, beside = raw.get("before", ""), raw.get("beside", "")
    at = find_line(snapshot, uid)
    week = snapshot["weeks"][at.week]
    target = _session_to(snapshot, at.week, to)
    _refuse_elsewhere(target, before, beside, uid)

    def change(one: WeekData, here: Mapping[str, str]) -> WeekData:
        return moved_line(
            one,
            here[uid],
            here[to],
            setting,
            before=here.get(before, ""),
            beside=here.get(beside, ""),
        )

    needed = [uid, to, beside] if beside else [uid, to]
    done = along(snapshot, at.week, reach, needed, change, maybe=[before] if before else [])
    if done.snapshot["weeks"][at.week] == week:
        message = "It stands there already; choose another place."
        raise BlockError(message)
    _, _, line = line_at(snapshot, at)
    what = f"{line['name']} moved {_whither(target, before, beside)}"
    what = f"{what}, {reach_words(snapshot, at.week, reach)}"
    return Edited(done.snapshot, what, focus=uid, skipped=done.skipped)


def _session_to(snapshot: Snapshot, week: int, uid: str) -> SessionData:
    at, session = find_session(snapshot, uid)
    if at != week:
        message = (
            "Session: an exercise moves within its week; copy the session to have it in another."
        )
        raise BlockError(message)
    return session


def _refuse_elsewhere(session: SessionData, before: str, beside: str, uid: str) -> None:
    there = {line["uid"] for pair in session["pairs"] for line in pair["lines"]}
    for place in filter(None, (before, beside)):
        if place not in there:
            message = f"The place to move to {GONE}"
            raise BlockError(message)
    if beside == uid:
        message = "With: an exercise is not paired with itself; choose another."
        raise BlockError(message)


def _whither(session: SessionData, before: str, beside: str) -> str:
    place = beside or before
    name = next(
        (ln["name"] for pair in session["pairs"] for ln in pair["lines"] if ln["uid"] == place), ""
    )
    if not name:
        return f"to the end of {session['name']}"
    return f"{'beside' if beside else 'before'} {name}, {session['name']}"


def moved_line(
    week: WeekData, uid: str, to: str, setting: EditSetting, *, before: str = "", beside: str = ""
) -> WeekData:
    """The week with a line taken from its pair and put elsewhere, alone or beside another."""
    source, index = holder_of(week, uid)
    pair = source["pairs"][index]
    refuse_fixed(source, setting, pair)
    target = session_in(week, to)
    refuse_fixed(target, setting)
    if beside:
        _, met = holder_of(week, beside)
        refuse_fixed(target, setting, target["pairs"][met])
    line = next(one for one in pair["lines"] if one["uid"] == uid)
    # A line that stands before itself stays where it is: its own place is found by what follows.
    anchor = _after(source, uid) if before == uid else before
    without = with_session(week, source["uid"], lambda one: _taken_out(one, uid))
    alone: PairData = {"letter": "", "part": pair["part"], "lines": [line]}

    def put(session: SessionData) -> SessionData:
        if beside:
            return with_pairs(session, _joined(session["pairs"], beside, line, pair["part"]))
        return with_pairs(session, _inserted(session["pairs"], alone, anchor))

    placed = with_session(without, to, put)
    return with_session(placed, source["uid"], lambda one: with_pairs(one, one["pairs"]))


def _after(session: SessionData, uid: str) -> str:
    """The first line of what follows a line's own pair, or its partner's."""
    lines = [ln["uid"] for pair in session["pairs"] for ln in pair["lines"]]
    at = lines.index(uid)
    return lines[at + 1] if at + 1 < len(lines) else ""


def _taken_out(session: SessionData, uid: str) -> SessionData:
    pairs: list[PairData] = [
        {**pair, "lines": [ln for ln in pair["lines"] if ln["uid"] != uid]}
        if any(ln["uid"] == uid for ln in pair["lines"])
        else pair
        for pair in session["pairs"]
    ]
    return {**session, "pairs": [pair for pair in pairs if pair["lines"]]}


def _inserted(pairs: Sequence[PairData], new: PairData, before: str) -> list[PairData]:
    for index, pair in enumerate(pairs):
        if before and any(line["uid"] == before for line in pair["lines"]):
            return [*pairs[:index], new, *pairs[index:]]
    return [*pairs, new]


def _joined(pairs: Sequence[PairData], beside: str, line: Line, part: str) -> list[PairData]:
    result: list[PairData] = []
    for pair in pairs:
        if not any(one["uid"] == beside for one in pair["lines"]):
            result.append(pair)
            continue
        if len(pair["lines"]) > 1:
            message = f"{pair['letter']} holds two exercises already; take one of them out first."
            raise BlockError(message)
        refuse_warm_up(part, pair["part"])
        result.append({**pair, "lines": [*pair["lines"], line]})
    return result


def refuse_warm_up(one: str, other: str) -> None:
    """A warm-up exercise beside a working one would be neither."""
    if one != other and "warm-up" in {one, other}:
        message = "Part: warm-up is not paired with working sets; give both the same part first."
        raise BlockError(message)
