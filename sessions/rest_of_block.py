"""What becomes of the rest of a block once a light week is in it, with its dates."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.blocks.snapshots import Snapshot, WeekData
from coaching.rules.plan import Part, WeekKind
from coaching.rules.return_numbers import RETURN_RESERVE

NEAR = timedelta(days=21)
"""Two light weeks that begin within so many days are named to the coach."""

_WEEK = timedelta(days=7)

Days = tuple[date, date]


@dataclass(frozen=True)
class RestRow:
    """One week from the light one on: its days as planned and as they would be."""

    label: str
    was: Days | None
    now: Days | None
    is_light: bool = False

    @property
    def moves(self) -> bool:
        """Whether its days change."""
        return self.was != self.now


@dataclass(frozen=True)
class RestOfBlock:
    """The block from the first day of the light week on, before and after."""

    rows: tuple[RestRow, ...]
    ends_on: date
    ended_on: date
    returns_on: date | None
    sentences: tuple[str, ...]


def rest_of_block(
    before: Snapshot, after: Snapshot, spell: Days, *, replaces: bool, carries: bool = False
) -> RestOfBlock:
    """The weeks from the light one on, and what is said of them.

    ``spell`` holds the first and the last day of the light week; with ``carries`` what the review
    steps back does so after it.
    """
    was, now = _day_of(before), _day_of(after)
    ended_on, ends_on = max(was.values(), default=spell[0]), max(now.values(), default=spell[1])
    returns_on = min((day for day in now.values() if day > spell[1]), default=None)
    gone = sorted(day for uid, day in was.items() if uid not in now and day >= spell[0])
    then = f"the block goes on on {_day(returns_on)}" if returns_on else "the block ends"
    said = _gives_way(gone) if replaces else _moves(ended_on, ends_on, at_all=bool(returns_on))
    free = (returns_on - spell[1]).days - 1 if returns_on else 0
    if free > _WEEK.days // 2:
        said += f" {free} days without a session lie between, so that weekdays stay the same."
    return RestOfBlock(
        rows=(*_rows(after, was, spell[0]), *_lost(before, now, spell[0])),
        ends_on=ends_on,
        ended_on=ended_on,
        returns_on=returns_on,
        sentences=(
            f"Then {then}; {said}",
            *_check_on_return(after, returns_on, carries=carries),
            *_own_light(after, spell[0]),
        ),
    )


def _moves(ended_on: date, ends_on: date, *, at_all: bool) -> str:
    later = round((ends_on - ended_on).days / _WEEK.days) if at_all else 0
    weeks = {0: "as before", 1: "a week later"}.get(later, f"{later} weeks later")
    return f"its last session is on {_day(ends_on)}, {weeks}."


def _gives_way(gone: list[date]) -> str:
    if not gone:
        return "nothing else was planned in these days."
    count = "1 planned session gives" if len(gone) == 1 else f"{len(gone)} planned sessions give"
    days = " to ".join(dict.fromkeys(_day(day) for day in (gone[0], gone[-1])))
    return f"{count} way, {days}, and nothing else moves."


def _rows(after: Snapshot, was: Mapping[str, date], first: date) -> list[RestRow]:
    found = []
    for number, week in enumerate(after["weeks"], start=1):
        now = _span(_days(week))
        if now is None or now[1] < first:
            continue
        here = date.fromisoformat(week["starts_on"])
        is_light = week["kind"] == WeekKind.DELOAD.value
        label = f"Week {number}, light" if is_light else f"Week {number}"
        then = _span([was[s["uid"]] for s in week["sessions"] if s["uid"] in was])
        found.append(RestRow(label, then, now, is_light=is_light and here == first))
    return found


def _lost(before: Snapshot, now: Mapping[str, date], first: date) -> list[RestRow]:
    """The weeks that give sessions away."""
    found = []
    for number, week in enumerate(before["weeks"], start=1):
        gone = [
            day
            for session in week["sessions"]
            if session["uid"] not in now and (day := date.fromisoformat(session["on"])) >= first
        ]
        if gone:
            found.append(RestRow(f"Of week {number}", _span(gone), None))
    return found


def _day_of(snapshot: Snapshot) -> dict[str, date]:
    return {
        session["uid"]: date.fromisoformat(session["on"])
        for week in snapshot["weeks"]
        for session in week["sessions"]
    }


def _days(week: WeekData) -> list[date]:
    return [date.fromisoformat(session["on"]) for session in week["sessions"]]


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _span(days: list[date]) -> Days | None:
    return (min(days), max(days)) if days else None


def _check_on_return(after: Snapshot, on: date | None, *, carries: bool) -> list[str]:
    """What the first session back checks; nothing where the block ends."""
    if on is None:
        return []
    sessions = [s for week in after["weeks"] for s in week["sessions"] if s["on"] == str(on)]
    pairs = [p for s in sessions[:1] for p in s["pairs"] if p["part"] != Part.WARM_UP.value]
    names = " and ".join(line["name"] for line in pairs[0]["lines"]) if pairs else ""
    if not names:
        return []
    numbers = "the usual numbers, less where it steps back" if carries else "the usual numbers"
    return [
        f"The session on {_day(on)} checks {names}: {numbers}, each set ended with "
        f"{RETURN_RESERVE.value:g} left or more. The review then says whether strength is back."
    ]


def _own_light(after: Snapshot, first: date) -> list[str]:
    """That the block has a light week of its own soon after, should it be so."""
    days = [date.fromisoformat(w["starts_on"]) for w in after["weeks"] if w["kind"] == "deload"]
    follows = next((day for day in days if first < day <= first + NEAR), None)
    if follows is None:
        return []
    return [
        f"The block’s own light week follows from {_day(follows)}. To have one only, start on "
        "its first day and let the block shorten."
    ]
