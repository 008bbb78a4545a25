"""Where something stands in a plan, and how that place is found again in a later week.

An exercise is addressed by the uid of its line and a session by its own. In a later week the
same place is a session of the same name (of several the one most like it), and in it the same
exercise in the same part (the nth time it comes there).
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from coaching.blocks.editing.values import Reach
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData
from coaching.rules.plan import Exercise, Level, WeekKind

GONE = "is no longer in the plan; somebody may have taken it out. Load the page again."


@dataclass(frozen=True)
class EditSetting:
    """What an act may need to know besides the plan.

    ``exercises`` holds, by row id, every exercise of the plan and those that the act brings in;
    ``loads`` what the client's equipment makes for them [kg], easiest first, and ``tempos``
    how they are usually done. Without them a swap keeps the tempo and has no load. ``is_seen``
    tells whether the client has the plan on the phone, or nobody has seen it yet; ``level`` is
    the client's, by which sets of a muscle have their range.
    """

    today: date
    begun: frozenset[str] = frozenset()
    exercises: Mapping[int, Exercise] = field(default_factory=dict)
    loads: Mapping[int, tuple[float, ...]] = field(default_factory=dict)
    tempos: Mapping[int, str] = field(default_factory=dict)
    is_seen: bool = True
    level: Level | None = None

    @property
    def past_before(self) -> date:
        """The day before which the plan stays: nothing that nobody has seen is past."""
        return self.today if self.is_seen else date.min

    def exercise(self, row: int) -> Exercise:
        """An exercise by its row; BlockError when the library does not hold it."""
        if row not in self.exercises:
            message = "Exercise: the library does not hold it any more; choose another."
            raise BlockError(message)
        return self.exercises[row]


@dataclass(frozen=True, slots=True)
class Edited:
    """A plan after an act: what was done, in words, and what it left aside.

    ``touched`` holds the uids of the sessions that changed, ``focus`` the uid of the line or
    session to go on with.
    """

    snapshot: Snapshot
    what: str
    touched: frozenset[str] = frozenset()
    focus: str = ""
    skipped: tuple[str, ...] = ()


class LineAt(NamedTuple):
    """The indexes of a line."""

    week: int
    session: int
    pair: int
    line: int


def find_line(snapshot: Snapshot, uid: str) -> LineAt:
    """Where a line stands."""
    for w, week in enumerate(snapshot["weeks"]):
        for s, session in enumerate(week["sessions"]):
            for p, pair in enumerate(session["pairs"]):
                for n, line in enumerate(pair["lines"]):
                    if line["uid"] == uid:
                        return LineAt(w, s, p, n)
    message = f"This exercise {GONE}"
    raise BlockError(message)


def line_at(snapshot: Snapshot, at: LineAt) -> tuple[SessionData, PairData, Line]:
    """What stands there: session, pair and line."""
    session = snapshot["weeks"][at.week]["sessions"][at.session]
    pair = session["pairs"][at.pair]
    return session, pair, pair["lines"][at.line]


def find_session(snapshot: Snapshot, uid: str) -> tuple[int, SessionData]:
    """A session and the index of its week."""
    for index, week in enumerate(snapshot["weeks"]):
        for session in week["sessions"]:
            if session["uid"] == uid:
                return index, session
    message = f"This session {GONE}"
    raise BlockError(message)


def find_week(snapshot: Snapshot, starts_on: str) -> int:
    """The index of the week that starts on a day."""
    for index, week in enumerate(snapshot["weeks"]):
        if week["starts_on"] == starts_on:
            return index
    message = f"This week {GONE}"
    raise BlockError(message)


def session_in(week: WeekData, uid: str) -> SessionData:
    """A session of the week."""
    return next(session for session in week["sessions"] if session["uid"] == uid)


def holder_of(week: WeekData, uid: str) -> tuple[SessionData, int]:
    """The session that holds a line, and the index of its pair."""
    for session in week["sessions"]:
        for index, pair in enumerate(session["pairs"]):
            if any(line["uid"] == uid for line in pair["lines"]):
                return session, index
    message = f"This exercise {GONE}"
    raise BlockError(message)


# Whether something may be changed at all.


def refuse_past(session: SessionData, setting: EditSetting) -> None:
    """What was trained stays as it was."""
    on = date.fromisoformat(session["on"])
    if session["uid"] in setting.begun:
        message = f"{session['name']} on {on:%-d %b} is already begun; change a coming session."
        raise BlockError(message)
    if on < setting.past_before:
        message = f"{session['name']} on {on:%-d %b} is past; change a coming session."
        raise BlockError(message)


def is_fixed(session: SessionData, setting: EditSetting) -> bool:
    """Whether a session is past or begun."""
    return session["uid"] in setting.begun or session["on"] < setting.past_before.isoformat()


def refuse_locked(session: SessionData, pair: PairData | None = None) -> None:
    """What is locked stays until it is unlocked."""
    if session.get("locked"):
        message = f"{session['name']} is locked; unlock it first."
        raise BlockError(message)
    if pair is not None and pair.get("locked"):
        message = f"{pair['letter']} of {session['name']} is locked; unlock it first."
        raise BlockError(message)


def refuse_any_locked(session: SessionData) -> None:
    """A session that goes as a whole takes what is locked in it along."""
    refuse_locked(session)
    for pair in session["pairs"]:
        refuse_locked(session, pair)


def refuse_fixed(session: SessionData, setting: EditSetting, pair: PairData | None = None) -> None:
    """The gate of every act: neither past, nor begun, nor locked."""
    refuse_past(session, setting)
    refuse_locked(session, pair)


# The same place in other weeks.


class LinePlace(NamedTuple):
    """A line's place in its session, in words that hold in every week."""

    exercise: int
    part: str
    nth: int


def lines_in(session: SessionData) -> Iterator[tuple[PairData, Line]]:
    """Every line of a session with its pair."""
    for pair in session["pairs"]:
        for line in pair["lines"]:
            yield pair, line


def places_in(session: SessionData) -> dict[LinePlace, tuple[PairData, Line]]:
    """Each line of a session, with its pair, by its place."""
    seen: Counter[tuple[int, str]] = Counter()
    found: dict[LinePlace, tuple[PairData, Line]] = {}
    for pair, line in lines_in(session):
        what = (line["exercise"], pair["part"])
        found[LinePlace(*what, seen[what])] = pair, line
        seen[what] += 1
    return found


def same_sessions(week: WeekData, other: WeekData) -> dict[str, SessionData]:
    """For each session of a week, by uid, the same one in another week; some may lack.

    It has the same name. Of several of one name those go together that have the most
    exercises in common, of these the ones of one weekday, then the nth with the nth.
    """
    here, there = _by_name(week), _by_name(other)
    found: dict[str, SessionData] = {}
    for name in here.keys() & there.keys():
        found |= _matched(here[name], there[name])
    return found


def _by_name(week: WeekData) -> dict[str, list[SessionData]]:
    named: dict[str, list[SessionData]] = {}
    for session in week["sessions"]:
        named.setdefault(session["name"], []).append(session)
    return named


def _matched(
    sessions: Sequence[SessionData], others: Sequence[SessionData]
) -> dict[str, SessionData]:
    if len(sessions) == len(others) == 1:
        return {sessions[0]["uid"]: others[0]}
    held = [Counter(place[:2] for place in places_in(one)) for one in (*sessions, *others)]
    days = [date.fromisoformat(one["on"]).weekday() for one in (*sessions, *others)]
    first = len(sessions)
    claims = sorted(
        (
            -(held[n] & held[first + m]).total(),
            days[n] != days[first + m],
            abs(n - m),
            n,
            m,
        )
        for n in range(first)
        for m in range(len(others))
    )
    taken: dict[int, int] = {}
    for *_, n, m in claims:
        if n not in taken and m not in taken.values():
            taken[n] = m
    return {sessions[n]["uid"]: others[m] for n, m in taken.items()}


def same_places(week: WeekData, other: WeekData, uids: Sequence[str]) -> dict[str, str]:
    """For each line or session of a week the uid of the same place in another; some may lack."""
    same = same_sessions(week, other)
    found = {uid: same[uid]["uid"] for uid in uids if uid in same}
    wanted = set(uids) - {session["uid"] for session in week["sessions"]}
    for session in week["sessions"] if wanted else ():
        is_asked = any(line["uid"] in wanted for _, line in lines_in(session))
        if is_asked and session["uid"] in same:
            there = places_in(same[session["uid"]])
            for place, (_, line) in places_in(session).items():
                if line["uid"] in wanted and place in there:
                    found[line["uid"]] = there[place][1]["uid"]
    return found


Change = Callable[[WeekData, Mapping[str, str]], WeekData]
"""From a week to the next: the mapping names, for each uid of the act, the one to use here."""


@dataclass(frozen=True, slots=True)
class Along:
    """An act carried through the weeks that it reaches."""

    snapshot: Snapshot
    skipped: tuple[str, ...]
    weeks: tuple[int, ...]


def along(
    snapshot: Snapshot,
    at: int,
    reach: Reach,
    uids: Sequence[str],
    change: Change,
    *,
    maybe: Sequence[str] = (),
    values_only: bool = False,
) -> Along:
    """Change one week, and unless it is ``Reach.WEEK`` the same places of the later ones.

    A later week that lacks a place, or whose place may not be changed, is left as it is, and a
    sentence says so. ``maybe`` are uids that a later week may lack. Acts that change
    ``values_only`` pass light weeks by, or all others when they were made in a light week.
    """
    weeks = list(snapshot["weeks"])
    first = weeks[at]
    every = (*uids, *maybe)
    weeks[at] = change(first, {uid: uid for uid in every})
    skipped: list[str] = []
    changed = [at]
    later = range(0) if reach is Reach.WEEK else range(at + 1, len(weeks))
    for index in later:
        week = weeks[index]
        if values_only and is_light(week) is not is_light(first):
            continue
        here = same_places(first, week, every)
        missing = [uid for uid in uids if uid not in here]
        if missing:
            words = _words_of(first, missing[0])
            skipped.append(f"Week {index + 1} has no {words}; it is left as it is.")
            continue
        try:
            weeks[index] = change(week, here)
        except BlockError as error:
            skipped.append(f"Week {index + 1} is left as it is: {error}")
        else:
            changed.append(index)
    return Along({"weeks": weeks}, tuple(skipped), tuple(changed))


def days_of(snapshot: Snapshot, uid: str, reach: Reach) -> tuple[date, ...]:
    """The days on which a line stands in its week and, onward, at its place in the later ones."""
    first, *later = snapshot["weeks"][find_line(snapshot, uid).week :]
    found = [holder_of(first, uid)[0]["on"]]
    for week in later if reach is Reach.ONWARD else ():
        here = same_places(first, week, [uid])
        found += [holder_of(week, here[uid])[0]["on"]] if here else []
    return tuple(date.fromisoformat(on) for on in found)


def days_of_session(snapshot: Snapshot, uid: str) -> tuple[date, ...]:
    """The days of a session and of the same one in each later week."""
    first, *later = snapshot["weeks"][find_session(snapshot, uid)[0] :]
    found = [session_in(first, uid)["on"]]
    found += [same[uid]["on"] for week in later if uid in (same := same_sessions(first, week))]
    return tuple(date.fromisoformat(on) for on in found)


def is_light(week: WeekData) -> bool:
    """Whether a week is a light one."""
    return week["kind"] == WeekKind.DELOAD


def _words_of(week: WeekData, uid: str) -> str:
    for session in week["sessions"]:
        if session["uid"] == uid:
            return f"session {session['name']}"
        for _, line in lines_in(session):
            if line["uid"] == uid:
                return f"{line['name']} at that place of {session['name']}"
    return "such place"


def with_session(
    week: WeekData, uid: str, change: Callable[[SessionData], SessionData]
) -> WeekData:
    """The week with one session changed."""
    sessions = [change(one) if one["uid"] == uid else one for one in week["sessions"]]
    return {**week, "sessions": sessions}


def with_line(week: WeekData, uid: str, change: Callable[[PairData, Line], Line]) -> WeekData:
    """The week with one line changed."""

    def pair(one: PairData) -> PairData:
        if not any(line["uid"] == uid for line in one["lines"]):
            return one
        lines = [change(one, line) if line["uid"] == uid else line for line in one["lines"]]
        return {**one, "lines": lines}

    session, _ = holder_of(week, uid)
    return with_session(
        week, session["uid"], lambda one: {**one, "pairs": [pair(p) for p in one["pairs"]]}
    )


def spread(  # noqa: PLR0913 - each is a separate fact of the act
    snapshot: Snapshot,
    at: int,
    reach: Reach,
    uids: Sequence[str],
    change: Change,
    *,
    said: str,
    focus: str,
    maybe: Sequence[str] = (),
    values_only: bool = False,
    unchanged: str = "Nothing differs from the plan; choose something else.",
) -> Edited:
    """The same as an edit in words; BlockError when it changes nothing where it was made."""
    done = along(snapshot, at, reach, uids, change, maybe=maybe, values_only=values_only)
    if done.snapshot["weeks"][at] == snapshot["weeks"][at]:
        raise BlockError(unchanged)
    what = f"{said}, {reach_words(snapshot, at, reach)}"
    return Edited(done.snapshot, what, focus=focus, skipped=done.skipped)


def reach_words(snapshot: Snapshot, at: int, reach: Reach) -> str:
    """How far an act went: week 3, or from week 3 on."""
    if reach is Reach.WEEK or at + 1 == len(snapshot["weeks"]):
        return f"week {at + 1}"
    onward = f"from week {at + 1} on"
    return f"{onward} where it was the same" if reach is Reach.ALIKE else onward
