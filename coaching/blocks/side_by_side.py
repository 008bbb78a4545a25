"""Two plans beside each other: the weeks and sessions that differ, line by line."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.blocks.editing.same_weeks import same_weeks
from coaching.blocks.snapshots import SessionData, Snapshot, WeekData, line_as_value
from coaching.blocks.words import detail_text, rest_words, week_kind_text
from coaching.rules.plan import Exercise, Part


@dataclass(frozen=True, slots=True)
class Place:
    """One exercise as one of the plans has it: its letter, and what is asked."""

    letter: str
    name: str
    detail: str
    locked: bool


@dataclass(frozen=True, slots=True)
class BothLines:
    """One exercise in both plans; one side is none where it is in one only."""

    before: Place | None
    after: Place | None

    @property
    def what(self) -> str:
        """What became of it, empty where nothing did."""
        if self.before is None:
            return "new"
        if self.after is None:
            return "gone"
        if self.before == self.after:
            return ""
        one, other = self.before, self.after
        if (one.name, one.detail, one.locked) == (other.name, other.detail, other.locked):
            return "place"
        return "changed"


@dataclass(frozen=True, slots=True)
class BothSessions:
    """One session in both plans; a day is none where it is in one only."""

    name: str
    was: str
    """What it was called, where that differs."""
    before: date | None
    after: date | None
    lines: tuple[BothLines, ...]

    @property
    def what(self) -> str:
        """What became of the session as a whole, empty where only lines differ."""
        if self.before is None:
            return "new"
        if self.after is None:
            return "gone"
        return "moved" if self.before != self.after else ""

    @property
    def differing(self) -> tuple[BothLines, ...]:
        """The exercises that differ; all of them where the session is in one plan only."""
        return tuple(line for line in self.lines if line.what)

    @property
    def alike(self) -> tuple[str, ...]:
        """The names of the exercises that are the same in both."""
        return tuple(line.after.name for line in self.lines if line.after and not line.what)


@dataclass(frozen=True, slots=True)
class BothWeeks:
    """One week with the sessions of it that differ, also where it has moved on."""

    starts_on: date
    before: str
    """What the week is for, empty where the plan has no such week."""
    after: str
    sessions: tuple[BothSessions, ...]
    alike: tuple[str, ...]
    """The names of the sessions that are the same in both."""
    was: date | None = None
    """Its first day in the earlier plan, where that differs."""

    @property
    def ends_on(self) -> date:
        """Its last day."""
        return self.starts_on + timedelta(days=6)

    @property
    def differs(self) -> bool:
        """Whether anything of it does."""
        return bool(self.sessions) or self.before != self.after


def side_by_side(
    before: Snapshot, after: Snapshot, exercises: Mapping[int, Exercise]
) -> tuple[BothWeeks, ...]:
    """The weeks of both plans in order; ``exercises`` is by row id.

    A week is the same one where it holds the same sessions, whenever it starts. A session that
    moved stands in the week in which the later plan has it.
    """
    same = same_weeks(before, after)
    was = _moved_along(before, after, same)
    now = {one["uid"] for week in after["weeks"] for one in week["sessions"]}
    gone = [n for n in range(len(before["weeks"])) if n not in same.values()]
    both: list[tuple[WeekData | None, WeekData | None]] = [
        *((before["weeks"][n], None) for n in gone),
        *(
            (before["weeks"][same[n]] if n in same else None, week)
            for n, week in enumerate(after["weeks"])
        ),
    ]
    both.sort(key=lambda two: _starts(*two))
    return tuple(_weeks(first, second, was, now, exercises) for first, second in both)


def _starts(first: WeekData | None, second: WeekData | None) -> str:
    week = second or first
    return week["starts_on"] if week else ""


def _moved_along(
    before: Snapshot, after: Snapshot, same: Mapping[int, int]
) -> dict[str, SessionData]:
    """The earlier sessions by uid, moved by as much as their weeks did."""
    starts = {old: after["weeks"][new]["starts_on"] for new, old in same.items()}
    moved: dict[str, SessionData] = {}
    for n, week in enumerate(before["weeks"]):
        first = date.fromisoformat(week["starts_on"])
        by = date.fromisoformat(starts.get(n, week["starts_on"])) - first
        for one in week["sessions"]:
            on = (date.fromisoformat(one["on"]) + by).isoformat()
            moved[one["uid"]] = {**one, "on": on}
    return moved


def _weeks(
    first: WeekData | None,
    second: WeekData | None,
    was: Mapping[str, SessionData],
    now: Set[str],
    exercises: Mapping[int, Exercise],
) -> BothWeeks:
    there = [(was.get(one["uid"]), one) for one in second["sessions"]] if second else []
    left = [was[one["uid"]] for one in first["sessions"]] if first else []
    pairs = [*there, *((one, None) for one in left if one["uid"] not in now)]
    pairs.sort(key=lambda pair: (pair[1] or pair[0] or {"on": ""})["on"])
    starts_on = _starts(first, second)
    began = first["starts_on"] if first else starts_on
    return BothWeeks(
        starts_on=date.fromisoformat(starts_on),
        before=week_kind_text(first["kind"]) if first else "",
        after=week_kind_text(second["kind"]) if second else "",
        sessions=tuple(_both(*pair, exercises) for pair in pairs if pair[0] != pair[1]),
        alike=tuple(one["name"] for same, one in there if same == one),
        was=date.fromisoformat(began) if began != starts_on else None,
    )


def _both(
    before: SessionData | None, after: SessionData | None, exercises: Mapping[int, Exercise]
) -> BothSessions:
    was, now = _places(before, exercises), _places(after, exercises)
    names = [one["name"] for one in (before, after) if one is not None]
    return BothSessions(
        name=names[-1],
        was=names[0] if names[0] != names[-1] else "",
        before=date.fromisoformat(before["on"]) if before else None,
        after=date.fromisoformat(after["on"]) if after else None,
        lines=tuple(BothLines(was.get(uid), now.get(uid)) for uid in _in_order(was, now)),
    )


def _places(session: SessionData | None, exercises: Mapping[int, Exercise]) -> dict[str, Place]:
    """The lines of a session by uid, in order."""
    places: dict[str, Place] = {}
    if session is None:
        return places
    for pair in session["pairs"]:
        for number, line in enumerate(pair["lines"], start=1):
            value = line_as_value(line, Part(pair["part"]), exercises)
            alone = len(pair["lines"]) == 1
            places[line["uid"]] = Place(
                letter=pair["letter"] if alone else f"{pair['letter']}{number}",
                name=value.exercise.name,
                detail=f"{detail_text(value)} · {rest_words(value.rest)}",
                locked=pair.get("locked", False) or session.get("locked", False),
            )
    return places


def _in_order(was: Mapping[str, Place], now: Mapping[str, Place]) -> Sequence[str]:
    """The lines as the later plan has them; those it lacks follow what they stood behind."""
    order = list(now)
    last = ""
    for uid in was:
        if uid not in now:
            order.insert(order.index(last) + 1 if last else 0, uid)
        last = uid
    return order
