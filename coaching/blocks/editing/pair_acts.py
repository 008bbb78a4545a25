"""Acts on pairs: where an exercise stands, and with which other one it is done in turn."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from string import ascii_uppercase

from coaching.blocks.editing.places import (
    GONE,
    Edited,
    EditSetting,
    find_line,
    find_session,
    holder_of,
    line_at,
    refuse_fixed,
    session_in,
    spread,
    with_session,
)
from coaching.blocks.editing.values import Raw, part_of, reach_of, step_of, text_of
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.rules.plan import Part

_THERE = "It stands there already; choose another place. What is locked keeps its own."


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


def around_locked(was: Sequence[PairData], now: Sequence[PairData]) -> list[PairData]:
    """Pairs in a new order, with locked ones where they stood; as they are where one came or went."""
    pairs = [pair for pair in now if pair["lines"]]
    if len(pairs) != len(was):
        return pairs
    free = iter([pair for pair in pairs if not pair.get("locked")])
    return [pair if pair.get("locked") else next(free) for pair in was]


def move_line(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """An exercise to another place of its session or of another one in the week."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw)
    to = text_of(raw, "session", "Session")
    before, beside = raw.get("before", ""), raw.get("beside", "")
    at = find_line(snapshot, uid)
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

    _, _, line = line_at(snapshot, at)
    return spread(
        snapshot,
        at.week,
        reach,
        [uid, to, beside] if beside else [uid, to],
        change,
        said=f"{line['name']} moved {_whither(target, before, beside)}",
        focus=uid,
        maybe=[before] if before else [],
        unchanged=_THERE,
    )


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
    without = with_session(
        week, source["uid"], lambda one: with_pairs(one, taken_out(one["pairs"], uid))
    )
    alone: PairData = {"letter": "", "part": pair["part"], "lines": [line]}

    def put(session: SessionData) -> SessionData:
        if beside:
            return with_pairs(session, joined(session["pairs"], beside, line, pair["part"]))
        pairs = _inserted(session["pairs"], alone, anchor)
        return with_pairs(session, around_locked(target["pairs"], pairs))

    return with_session(without, to, put)


def _after(session: SessionData, uid: str) -> str:
    """The first line of what follows a line's own pair, or its partner's."""
    lines = [ln["uid"] for pair in session["pairs"] for ln in pair["lines"]]
    at = lines.index(uid)
    return lines[at + 1] if at + 1 < len(lines) else ""


def taken_out(pairs: Sequence[PairData], uid: str) -> list[PairData]:
    """Pairs without a line."""
    return [
        {**pair, "lines": [ln for ln in pair["lines"] if ln["uid"] != uid]}
        if any(ln["uid"] == uid for ln in pair["lines"])
        else pair
        for pair in pairs
    ]


def _inserted(pairs: Sequence[PairData], new: PairData, before: str) -> list[PairData]:
    for index, pair in enumerate(pairs):
        if before and any(line["uid"] == before for line in pair["lines"]):
            return [*pairs[:index], new, *pairs[index:]]
    return [*pairs, new]


def joined(pairs: Sequence[PairData], beside: str, line: Line, part: str) -> list[PairData]:
    """Pairs with a line beside another one, which must be alone."""
    result: list[PairData] = []
    for pair in pairs:
        if not any(one["uid"] == beside for one in pair["lines"]):
            result.append(pair)
            continue
        if len(pair["lines"]) > 1:
            message = f"{pair['letter']} holds two exercises already; remove one of them first."
            raise BlockError(message)
        refuse_warm_up(part, pair["part"])
        result.append({**pair, "lines": [*pair["lines"], line]})
    return result


def refuse_warm_up(one: str, other: str) -> None:
    """A warm-up exercise beside a working one would be neither."""
    if one != other and "warm-up" in {one, other}:
        message = "Part: warm-up is not paired with working sets; give both the same part first."
        raise BlockError(message)


def move_pair(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A whole pair to another place of its session or of another one in the week."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw)
    to, before = text_of(raw, "session", "Session"), raw.get("before", "")
    at = find_line(snapshot, uid)
    target = _session_to(snapshot, at.week, to)
    _refuse_elsewhere(target, before, "", uid)
    _, pair, _ = line_at(snapshot, at)
    if any(line["uid"] == before for line in pair["lines"]):
        raise BlockError(_THERE)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        source, index = holder_of(week, here[uid])
        moving = source["pairs"][index]
        refuse_fixed(source, setting, moving)
        goal = session_in(week, here[to])
        refuse_fixed(goal, setting)
        rest = [*source["pairs"][:index], *source["pairs"][index + 1 :]]
        without = with_session(week, source["uid"], lambda one: with_pairs(one, rest))

        def put(one: SessionData) -> SessionData:
            pairs = _inserted(one["pairs"], moving, here.get(before, ""))
            return with_pairs(one, around_locked(goal["pairs"], pairs))

        return with_session(without, here[to], put)

    return spread(
        snapshot,
        at.week,
        reach,
        [uid, to],
        change,
        said=f"{_names(pair)} moved {_whither(target, before, '')}",
        focus=uid,
        maybe=[before] if before else [],
        unchanged=_THERE,
    )


def _names(pair: PairData) -> str:
    return " and ".join(line["name"] for line in pair["lines"])


ChangePairs = Callable[[list[PairData], int], Sequence[PairData]]


def _on_pair(
    snapshot: Snapshot, raw: Raw, setting: EditSetting, said: str, change_pairs: ChangePairs
) -> Edited:
    """An act on the pair that holds a line, within its session."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw)
    at = find_line(snapshot, uid)
    session, pair, _ = line_at(snapshot, at)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        holder, index = holder_of(week, here[uid])
        refuse_fixed(holder, setting, holder["pairs"][index])
        pairs = change_pairs(list(holder["pairs"]), index)
        return with_session(week, holder["uid"], lambda one: with_pairs(one, pairs))

    words = f"{_names(pair)} {said}, {session['name']}"
    return spread(snapshot, at.week, reach, [uid], change, said=words, focus=uid)


def order_pair(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A pair one place up or down; what is locked keeps its place and is passed by."""
    by = step_of(raw)

    def ordered(pairs: list[PairData], index: int) -> Sequence[PairData]:
        ahead = list(range(index + by, len(pairs) if by > 0 else -1, by))
        to = next((at for at in ahead if not pairs[at].get("locked")), None)
        if to is None:
            end = "first" if by < 0 else "last"
            message = f"{pairs[index]['letter']} is the {end} already; move it the other way."
            if ahead:
                there = pairs[ahead[0]]["letter"]
                message = f"{there} is locked and keeps its place; unlock it first."
            raise BlockError(message)
        pairs[index], pairs[to] = pairs[to], pairs[index]
        return pairs

    return _on_pair(snapshot, raw, setting, f"one place {'up' if by < 0 else 'down'}", ordered)


def turn_pair(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """The second exercise of a pair first."""

    def turned(pairs: list[PairData], index: int) -> Sequence[PairData]:
        _refuse_alone(pairs[index])
        pairs[index] = {**pairs[index], "lines": pairs[index]["lines"][::-1]}
        return pairs

    return _on_pair(snapshot, raw, setting, "turned round", turned)


def _turned(week: WeekData, uid: str) -> WeekData:
    session, index = holder_of(week, uid)
    pairs = list(session["pairs"])
    pairs[index] = {**pairs[index], "lines": pairs[index]["lines"][::-1]}
    return with_session(week, session["uid"], lambda one: with_pairs(one, pairs))


def unpair(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """The two exercises of a pair one after the other."""

    def apart(pairs: list[PairData], index: int) -> Sequence[PairData]:
        pair = pairs[index]
        _refuse_alone(pair)
        alone: list[PairData] = [{**pair, "lines": [line]} for line in pair["lines"]]
        return [*pairs[:index], *alone, *pairs[index + 1 :]]

    return _on_pair(snapshot, raw, setting, "no longer paired", apart)


def _refuse_alone(pair: PairData) -> None:
    if len(pair["lines"]) == 1:
        message = f"{pair['letter']} holds one exercise only; pair it with another first."
        raise BlockError(message)


def set_part(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Another part of the session for a pair; its place stays."""
    part = part_of(raw)
    if part is None:
        message = f"Part: nothing was sent; choose one of {', '.join(Part)}."
        raise BlockError(message)

    def given(pairs: list[PairData], index: int) -> Sequence[PairData]:
        pairs[index] = {**pairs[index], "part": part.value}
        return pairs

    return _on_pair(snapshot, raw, setting, f"as {part.value}", given)


def pair_lines(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Two exercises of a session done in turn, at the place of the second one named."""
    uid, reach = text_of(raw, "line", "Exercise"), reach_of(raw)
    other = text_of(raw, "with", "With")
    at, met = find_line(snapshot, uid), find_line(snapshot, other)
    session, pair, line = line_at(snapshot, at)
    if at[:2] != met[:2]:
        message = "With: the other exercise is in another session; move one of them there first."
        raise BlockError(message)
    if at[:3] == met[:3]:
        message = f"{_names(pair)}: these are one pair already; choose another exercise."
        raise BlockError(message)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        holder, _ = holder_of(week, here[uid])
        moved = moved_line(week, here[uid], holder["uid"], setting, beside=here[other])
        # What came first stays first: the one named is put after the other.
        return _turned(moved, here[uid]) if at < met else moved

    said = f"{line['name']} paired with {line_at(snapshot, met)[2]['name']}, {session['name']}"
    return spread(snapshot, at.week, reach, [uid, other], change, said=said, focus=uid)
