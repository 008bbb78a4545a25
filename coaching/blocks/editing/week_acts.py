"""Acts on whole weeks: one more, one less, another kind, a light week put in or moved.

What is locked in a week moves along with it when weeks move: its day of the week and all that it
asks stay. What is past or begun never moves.
"""

from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta

from coaching.blocks.editing.pair_acts import with_pairs
from coaching.blocks.editing.places import (
    Edited,
    EditSetting,
    find_week,
    refuse_any_locked,
    refuse_past,
)
from coaching.blocks.editing.session_acts import end_of, fresh
from coaching.blocks.editing.values import MOST_WEEKS, Raw, kind_of, step_of, text_of
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Snapshot, WeekData, light_week_data, moved, week_as_value
from coaching.blocks.words import week_kind_text
from coaching.rules.deload import light_week
from coaching.rules.numbers import DELOAD_TOLERANCE
from coaching.rules.plan import WeekKind
from coaching.rules.volume_course import session_work


def copy_week(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A week once more after another one; what follows moves on."""
    source = find_week(snapshot, text_of(raw, "week", "Week"))
    after = find_week(snapshot, text_of(raw, "after", "After week"))
    start = end_of(snapshot, snapshot["weeks"][after])
    copy = _copied(snapshot["weeks"][source], start)
    plan = _put_in(snapshot, after + 1, copy, setting)
    what = f"Week {source + 1} copied as week {after + 2}"
    return Edited(plan, f"{what}{_moved_words(snapshot, after + 1)}", focus=_first(copy))


def replace_week(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A copy of another week in the place of one; its days and its kind come with it."""
    at = find_week(snapshot, text_of(raw, "week", "Week"))
    source = find_week(snapshot, text_of(raw, "from", "From week"))
    if at == source:
        message = "A week is not replaced by itself; choose another."
        raise BlockError(message)
    week = snapshot["weeks"][at]
    _refuse_begun(week, at, setting)
    for session in week["sessions"]:
        refuse_any_locked(session)
    copy = _copied(snapshot["weeks"][source], date.fromisoformat(week["starts_on"]))
    if any(s["on"] >= end_of(snapshot, week).isoformat() for s in copy["sessions"]):
        message = f"Week {source + 1} is longer than week {at + 1}; copy its sessions one by one."
        raise BlockError(message)
    plan = _with_week(snapshot, at, copy)
    return Edited(plan, f"Week {at + 1} as week {source + 1}", focus=_first(copy))


def remove_week(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A week out of the block; what follows moves up by whole weeks."""
    at = find_week(snapshot, text_of(raw, "week", "Week"))
    weeks = snapshot["weeks"]
    if len(weeks) == 1:
        message = "A block keeps one week at the least; change this one instead."
        raise BlockError(message)
    _refuse_begun(weeks[at], at, setting)
    for session in weeks[at]["sessions"]:
        refuse_any_locked(session)
    days = (end_of(snapshot, weeks[at]) - date.fromisoformat(weeks[at]["starts_on"])).days
    later = _moved_weeks(snapshot, at + 1, -(days // 7), setting)
    what = f"Week {at + 1} removed"
    left = weeks[at + 1] if at + 1 < len(weeks) else weeks[at - 1]
    words = "move up" if days >= timedelta(weeks=1).days else "keep their days"
    what = f"{what}; later weeks {words}" if later else what
    return Edited({"weeks": [*weeks[:at], *later]}, what, focus=_first(left))


def set_week_kind(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """Another purpose for a week; what it asks stays."""
    at, kind = find_week(snapshot, text_of(raw, "week", "Week")), kind_of(raw)
    week = snapshot["weeks"][at]
    if week["kind"] == kind:
        message = f"Week {at + 1} is a {week_kind_text(kind)} week already; choose another."
        raise BlockError(message)
    _refuse_begun(week, at, setting)
    plan = _with_week(snapshot, at, {**week, "kind": kind.value})
    return Edited(
        plan,
        f"Week {at + 1} is a {week_kind_text(kind)} week, its sets as they were",
        focus=_first(week),
    )


def insert_light_week(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A light week before another one, or at the end when none is named; what follows moves on.

    It is made from the last usual week before it that is whole.
    """
    named = raw.get("before", "").strip()
    weeks = snapshot["weeks"]
    at = find_week(snapshot, named) if named else len(weeks)
    usual = _usual_before(snapshot, at)
    start = date.fromisoformat(weeks[at]["starts_on"]) if named else end_of(snapshot, weeks[-1])
    light = _lightened(weeks[usual], usual, start, setting)
    plan = _put_in(snapshot, at, light, setting)
    what = f"Light week as week {at + 1}, made from week {usual + 1}"
    return Edited(plan, f"{what}{_moved_words(snapshot, at)}", focus=_first(light))


def lighten_week(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A week made light in its place: the same exercises and loads for less work."""
    at = find_week(snapshot, text_of(raw, "week", "Week"))
    week = snapshot["weeks"][at]
    if not _lines(week) or (
        week["kind"] == WeekKind.DELOAD and not _is_full(snapshot, at, setting)
    ):
        message = f"Week {at + 1} has nothing to make lighter; choose a usual week."
        raise BlockError(message)
    _refuse_begun(week, at, setting)
    for session in week["sessions"]:
        refuse_any_locked(session)
    light = _lightened(week, at, date.fromisoformat(week["starts_on"]), setting)
    plan = _with_week(snapshot, at, light)
    return Edited(plan, f"Week {at + 1} made a light week", focus=_first(light))


def light_week_anew(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A light week made once more from the usual week before it, as that is by now."""
    at = find_week(snapshot, text_of(raw, "week", "Week"))
    week = snapshot["weeks"][at]
    if week["kind"] != WeekKind.DELOAD:
        message = f"Week {at + 1} is no light week; choose one that is."
        raise BlockError(message)
    usual = _usual_before(snapshot, at)
    _refuse_begun(week, at, setting)
    for session in week["sessions"]:
        refuse_any_locked(session)
    start = date.fromisoformat(week["starts_on"])
    light = _lightened(snapshot["weeks"][usual], usual, start, setting)
    if _asks(light) == _asks(week):
        message = f"Week {at + 1} is what week {usual + 1} comes to already."
        raise BlockError(message)
    plan = _with_week(snapshot, at, light)
    return Edited(plan, f"Week {at + 1} made light from week {usual + 1}", focus=_first(light))


def _asks(week: WeekData) -> list[object]:
    """What a week asks, whatever its rows are."""
    return [
        (session["name"], session["on"], pair["part"], {**line, "uid": ""})
        for session in week["sessions"]
        for pair in session["pairs"]
        for line in pair["lines"]
    ]


def move_light_week(snapshot: Snapshot, raw: Raw, setting: EditSetting) -> Edited:
    """A light week one week earlier or later; the other one takes its place."""
    at, by = find_week(snapshot, text_of(raw, "week", "Week")), step_of(raw)
    weeks = snapshot["weeks"]
    if weeks[at]["kind"] != WeekKind.DELOAD:
        message = f"Week {at + 1} is no light week; choose one that is."
        raise BlockError(message)
    first = min(at, at + by)
    if first < 0 or first + 1 >= len(weeks):
        end = "first" if by < 0 else "last"
        message = f"The light week is the {end} week already; move it the other way."
        raise BlockError(message)
    one, two = weeks[first], weeks[first + 1]
    for index in (first, first + 1):
        _refuse_begun(weeks[index], index, setting)
    before, after = _length(snapshot, one), _length(snapshot, two)
    if before % 7 or after % 7:
        message = "A week next to it is cut in the middle; move its sessions one by one."
        raise BlockError(message)
    swapped = [moved(two, -before), moved(one, after)]
    plan: Snapshot = {"weeks": [*weeks[:first], *swapped, *weeks[first + 2 :]]}
    return Edited(plan, f"Light week moved to week {at + by + 1}", focus=_first(weeks[at]))


def _usual_before(snapshot: Snapshot, at: int) -> int:
    """The last whole usual week before a place; BlockError when there is none."""
    weeks = snapshot["weeks"]
    build = [i for i in range(at) if weeks[i]["kind"] == WeekKind.BUILD and _lines(weeks[i])]
    whole = [i for i in build if _is_whole(snapshot, weeks[i])]
    if whole:
        return whole[-1]
    why = "none of the usual weeks before it is whole" if build else "there is none"
    message = f"A light week is made from a usual week before it, and {why}; choose a later place."
    raise BlockError(message)


def _is_full(snapshot: Snapshot, at: int, setting: EditSetting) -> bool:
    """Whether a week that is called light asks for about as much as the usual week before it."""
    weeks = snapshot["weeks"]
    usual = [i for i in range(at) if weeks[i]["kind"] == WeekKind.BUILD and _lines(weeks[i])]
    if not usual:
        return False
    values = (week_as_value(weeks[i], i + 1, setting.exercises) for i in (usual[-1], at))
    was, now = (sum(session_work(one) for one in value.sessions) for value in values)
    return abs(now - was) <= DELOAD_TOLERANCE.value * was


def _is_whole(snapshot: Snapshot, week: WeekData) -> bool:
    """Whether no light week cuts it: it lasts whole weeks from the usual first day on.

    The rest of a cut week at the end of the block has no end, so that its length tells nothing.
    """
    first_days = Counter(
        date.fromisoformat(one["starts_on"]).weekday()
        for one in snapshot["weeks"]
        if one["kind"] != WeekKind.DELOAD
    )
    ((usual, _),) = first_days.most_common(1)
    starts = date.fromisoformat(week["starts_on"]).weekday()
    return starts == usual and _length(snapshot, week) % 7 == 0


def _length(snapshot: Snapshot, week: WeekData) -> int:
    return (end_of(snapshot, week) - date.fromisoformat(week["starts_on"])).days


def _lines(week: WeekData) -> int:
    return sum(len(pair["lines"]) for session in week["sessions"] for pair in session["pairs"])


def _first(week: WeekData) -> str:
    return week["sessions"][0]["uid"] if week["sessions"] else ""


def _with_week(snapshot: Snapshot, at: int, week: WeekData) -> Snapshot:
    return {"weeks": [*snapshot["weeks"][:at], week, *snapshot["weeks"][at + 1 :]]}


def _copied(week: WeekData, start: date) -> WeekData:
    """A week from another first day on, its sessions on their weekdays."""
    first, one_week = date.fromisoformat(week["starts_on"]), timedelta(weeks=1)
    days = [date.fromisoformat(session["on"]) for session in week["sessions"]]
    if (start - first) % one_week and all(day - first < one_week for day in days):
        days = [start + (day - start) % one_week for day in days]
    else:
        days = [day + (start - first) for day in days]
    sessions = [fresh(one, day) for one, day in zip(week["sessions"], days, strict=True)]
    sessions.sort(key=lambda one: one["on"])
    return {"starts_on": start.isoformat(), "kind": week["kind"], "sessions": sessions}


def _lightened(usual: WeekData, at: int, start: date, setting: EditSetting) -> WeekData:
    value = week_as_value(usual, at + 1, setting.exercises)
    try:
        made = light_week(value, starts_on=start)
    except ValueError as error:
        raise BlockError(str(error)) from error
    light = light_week_data(usual, made.week)
    # Where a whole pair is left out the letters close up.
    return {**light, "sessions": [with_pairs(one, one["pairs"]) for one in light["sessions"]]}


def _put_in(snapshot: Snapshot, at: int, week: WeekData, setting: EditSetting) -> Snapshot:
    """The block with a week put in at an index; later ones move on by whole weeks."""
    weeks = snapshot["weeks"]
    if len(weeks) >= MOST_WEEKS:
        message = f"A block holds at most {MOST_WEEKS} weeks; remove one first."
        raise BlockError(message)
    if date.fromisoformat(week["starts_on"]) < setting.today:
        message = "This place is past already; choose a later one."
        raise BlockError(message)
    alone: Snapshot = {"weeks": [week]}
    later = _moved_weeks(snapshot, at, -(-_length(alone, week) // 7), setting)
    return {"weeks": [*weeks[:at], week, *later]}


def _moved_weeks(
    snapshot: Snapshot, since: int, by: int, setting: EditSetting
) -> Sequence[WeekData]:
    """The weeks from an index on, so many weeks later; BlockError when one has begun."""
    later = snapshot["weeks"][since:]
    if not by:
        return later
    for index, week in enumerate(later, start=since):
        _refuse_begun(week, index, setting)
    return [moved(week, by * timedelta(weeks=1).days) for week in later]


def _refuse_begun(week: WeekData, at: int, setting: EditSetting) -> None:
    """A week that has begun is changed session by session."""
    for session in week["sessions"]:
        refuse_past(session, setting)
    if date.fromisoformat(week["starts_on"]) < setting.today:
        message = f"Week {at + 1} has begun; change its coming sessions one by one."
        raise BlockError(message)


def _moved_words(snapshot: Snapshot, at: int) -> str:
    return "; later weeks move on" if at < len(snapshot["weeks"]) else ""
