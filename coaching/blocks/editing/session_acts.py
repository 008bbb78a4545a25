"""Acts on whole sessions: their name, their day, one more, one less, a copy; and locks."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from uuid import uuid4

from coaching.blocks.editing.places import (
    Edited,
    EditSetting,
    find_line,
    find_session,
    find_week,
    holder_of,
    is_light,
    line_at,
    refuse_any_locked,
    refuse_fixed,
    refuse_past,
    session_in,
    spread,
    with_session,
)
from coaching.blocks.editing.values import Raw, day_of, name_of, reach_of, text_of
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.rules.numbers import DELOAD_SHARE


def rename_session(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Another name for a session."""
    uid, reach, name = text_of(raw, "session", "Session"), reach_of(raw), name_of(raw)
    at, session = find_session(snapshot, uid)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        refuse_fixed(session_in(week, here[uid]), setting)
        return with_session(week, here[uid], lambda one: {**one, "name": name})

    said = f"{session['name']} is called {name}"
    return spread(snapshot, at, reach, [uid], change, said=said, focus=uid)


def move_session(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Another day of its week for a session; later weeks follow on the same day of theirs."""
    uid, reach = text_of(raw, "session", "Session"), reach_of(raw)
    on = day_of(raw, "on", "Day")
    at, session = find_session(snapshot, uid)
    offset = on - date.fromisoformat(snapshot["weeks"][at]["starts_on"])

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        refuse_fixed(session_in(week, here[uid]), setting)
        day = _day_in(snapshot, week, offset, setting)
        moved = with_session(week, here[uid], lambda one: {**one, "on": day.isoformat()})
        return {**week, "sessions": by_day(moved["sessions"])}

    said = f"{session['name']} on {on:%A}"
    return spread(snapshot, at, reach, [uid], change, said=said, focus=uid)


def add_session(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A session without any exercise yet."""
    at, reach = find_week(snapshot, text_of(raw, "week", "Week")), reach_of(raw)
    on, name = day_of(raw, "on", "Day"), name_of(raw)
    offset = on - date.fromisoformat(snapshot["weeks"][at]["starts_on"])
    new = str(uuid4())
    first = snapshot["weeks"][at]

    def change(week: WeekData, _here: Mapping[str, str]) -> WeekData:
        day = _day_in(snapshot, week, offset, setting)
        uid = new if week is first else str(uuid4())
        made: SessionData = {"uid": uid, "name": name, "on": day.isoformat(), "pairs": []}
        return {**week, "sessions": by_day([*week["sessions"], made])}

    return spread(snapshot, at, reach, [], change, said=f"{name} added on {on:%A}", focus=new)


def remove_session(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A session out of its week, and out of the later ones that have it."""
    uid, reach = text_of(raw, "session", "Session"), reach_of(raw)
    at, session = find_session(snapshot, uid)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        if uid not in here:
            return week
        refuse_past(session_in(week, here[uid]), setting)
        refuse_any_locked(session_in(week, here[uid]))
        return {**week, "sessions": [s for s in week["sessions"] if s["uid"] != here[uid]]}

    others = [s["uid"] for s in snapshot["weeks"][at]["sessions"] if s["uid"] != uid]
    said, focus = f"{session['name']} removed", next(iter(others), "")
    return spread(snapshot, at, reach, [], change, said=said, focus=focus, maybe=[uid])


def copy_session(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A session once more, in any week; the copy is open even where the first is locked.

    Of a usual session a light week gets ``DELOAD_SHARE`` of the sets.
    """
    uid, on = text_of(raw, "session", "Session"), day_of(raw, "on", "Day")
    at, reach = _week_for(snapshot, raw, on), reach_of(raw)
    source, session = find_session(snapshot, uid)
    first = snapshot["weeks"][at]
    usual = not is_light(snapshot["weeks"][source])
    offset = on - date.fromisoformat(first["starts_on"])
    new = str(uuid4())

    def change(week: WeekData, _here: Mapping[str, str]) -> WeekData:
        copy = fresh(session, _day_in(snapshot, week, offset, setting))
        if usual and is_light(week):
            copy = _fewer_sets(copy)
        if week is first:
            copy["uid"] = new
        return {**week, "sessions": by_day([*week["sessions"], copy])}

    said = f"{session['name']} copied to {on:%A}"
    return spread(snapshot, at, reach, [], change, said=said, focus=new)


def _week_for(snapshot: Snapshot, raw: Raw, on: date) -> int:
    """The week that is named, else the one in which the day lies."""
    if raw.get("week", "").strip():
        return find_week(snapshot, text_of(raw, "week", "Week"))
    started = [n for n, week in enumerate(snapshot["weeks"]) if week["starts_on"] <= on.isoformat()]
    if not started:
        message = f"Day: {on:%-d %b} is before the block; choose one of its days."
        raise BlockError(message)
    return started[-1]


def fresh(session: SessionData, on: date) -> SessionData:
    """The same session on another day, with uids of its own and nothing locked."""
    pairs: list[PairData] = [
        {
            "letter": pair["letter"],
            "part": pair["part"],
            "lines": [{**line, "uid": str(uuid4())} for line in pair["lines"]],
        }
        for pair in session["pairs"]
    ]
    return {"uid": str(uuid4()), "name": session["name"], "on": on.isoformat(), "pairs": pairs}


def _fewer_sets(session: SessionData) -> SessionData:
    def fewer(line: Line) -> Line:
        sets = max(1, round(len(line["targets"]) * DELOAD_SHARE.value))
        return {**line, "targets": line["targets"][:sets]}

    pairs: list[PairData] = [
        {**pair, "lines": [fewer(line) for line in pair["lines"]]} for pair in session["pairs"]
    ]
    return {**session, "pairs": pairs}


def by_day(sessions: Sequence[SessionData]) -> list[SessionData]:
    """Sessions in order of their days; those of one day as they stand."""
    return sorted(sessions, key=lambda session: session["on"])


def end_of(snapshot: Snapshot, week: WeekData) -> date:
    """The first day that is no longer a week's own: the next week starts, or whole weeks are over."""
    later = [w["starts_on"] for w in snapshot["weeks"] if w["starts_on"] > week["starts_on"]]
    if later:
        return date.fromisoformat(min(later))
    start = date.fromisoformat(week["starts_on"])
    days = [(date.fromisoformat(s["on"]) - start).days for s in week["sessions"]]
    return start + timedelta(weeks=1 + max(days, default=0) // 7)


def _day_in(snapshot: Snapshot, week: WeekData, offset: timedelta, setting: EditSetting) -> date:
    """The day of a week, so many after its first; BlockError when it is not in it, or past."""
    start, end = date.fromisoformat(week["starts_on"]), end_of(snapshot, week)
    day = start + offset
    if not start <= day < end:
        last = end - timedelta(days=1)
        message = (
            f"Day: {day:%-d %b} is not in this week; choose one from {start:%-d %b} "
            f"to {last:%-d %b}."
        )
        raise BlockError(message)
    if day < setting.today:
        message = f"Day: {day:%-d %b} is past; choose today or a later day."
        raise BlockError(message)
    return day


def lock(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A pair or a session that no act changes until it is unlocked."""
    return _locked(snapshot, raw, setting, to=True)


def unlock(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A pair or a session that may be changed again; of a locked session it is the session."""
    if line := raw.get("line", "").strip():
        session, _, _ = line_at(snapshot, find_line(snapshot, line))
        if session.get("locked"):
            raw = {**raw, "line": "", "session": session["uid"]}
    return _locked(snapshot, raw, setting, to=False)


def _locked(snapshot: Snapshot, raw: Raw, setting: EditSetting, *, to: bool) -> Edited:
    word = "locked" if to else "unlocked"
    unchanged = f"It is {word} already."
    reach = reach_of(raw)
    if line := raw.get("line", "").strip():
        at = find_line(snapshot, line)
        session, pair, _ = line_at(snapshot, at)

        def change_pair(week: WeekData, here: Mapping[str, str]) -> WeekData:
            holder, index = holder_of(week, here[line])
            refuse_past(holder, setting)
            pairs = list(holder["pairs"])
            pairs[index] = _pair_locked(pairs[index], to=to)
            return with_session(week, holder["uid"], lambda one: {**one, "pairs": pairs})

        said = f"{pair['letter']} of {session['name']} {word}"
        return spread(
            snapshot,
            at.week,
            reach,
            [line],
            change_pair,
            said=said,
            focus=line,
            unchanged=unchanged,
        )
    uid = text_of(raw, "session", "Session")
    week_at, session = find_session(snapshot, uid)

    def change(week: WeekData, here: Mapping[str, str]) -> WeekData:
        refuse_past(session_in(week, here[uid]), setting)
        return with_session(week, here[uid], lambda one: _session_locked(one, to=to))

    said = f"{session['name']} {word}"
    return spread(
        snapshot, week_at, reach, [uid], change, said=said, focus=uid, unchanged=unchanged
    )


def _pair_locked(pair: PairData, *, to: bool) -> PairData:
    open_pair: PairData = {"letter": pair["letter"], "part": pair["part"], "lines": pair["lines"]}
    return {**open_pair, "locked": True} if to else open_pair


def _session_locked(session: SessionData, *, to: bool) -> SessionData:
    opened: SessionData = {
        "uid": session["uid"],
        "name": session["name"],
        "on": session["on"],
        "pairs": session["pairs"],
    }
    return {**opened, "locked": True} if to else opened
