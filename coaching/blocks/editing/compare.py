"""What differs between two plans, in a coach's words: for versions, and for what was changed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from coaching.blocks.editing.line_acts import said_values
from coaching.blocks.editing.same_weeks import same_weeks
from coaching.blocks.editing.whole_weeks import block_words
from coaching.blocks.kept import Kept
from coaching.blocks.snapshots import Line, PairData, SessionData, Snapshot, WeekData, lines_of
from coaching.blocks.words import short_targets, week_kind_text, weeks_named

KEPT_SESSIONS = 800
_Told = tuple[str, str]
"""What differs in a session in words, and the uid of the line if it concerns one."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs; ``words`` name neither week nor session.

    ``week`` is the number of the week in the later plan, 0 for what concerns the block.
    ``session`` and ``line`` are uids, empty for what concerns the whole week or session.
    """

    week: int
    words: str
    session: str = ""
    session_name: str = ""
    line: str = ""


def differences(before: Snapshot, after: Snapshot) -> tuple[Difference, ...]:
    """What the later plan has otherwise than the earlier one, week by week in order."""
    same = same_weeks(before, after)
    moves = _Moves(before, after)
    found = [Difference(0, words) for words in block_words(before, after, same)]
    for new, week in enumerate(after["weeks"]):
        if new not in same:
            continue
        was = before["weeks"][same[new]]
        if was["kind"] != week["kind"]:
            kinds = [f"{week_kind_text(one['kind'])} week" for one in (was, week)]
            found.append(Difference(new + 1, " → ".join(kinds)))
        found.extend(_of_sessions(was, week, new + 1, moves))
    return tuple(found)


def in_words(found: Sequence[Difference]) -> tuple[str, ...]:
    """Differences as sentences; what differs alike in several weeks is told once.

    Push-up 5 × 6 → 5 × 7, Upper A, weeks 2 to 4.
    """
    weeks: dict[tuple[str, str], list[int]] = {}
    for one in found:
        weeks.setdefault((one.words, one.session_name), []).append(one.week)
    return tuple(
        ", ".join(filter(None, (words, session, _weeks_words(numbers))))
        for (words, session), numbers in weeks.items()
    )


def _weeks_words(numbers: Sequence[int]) -> str:
    return weeks_named(numbers) if any(numbers) else ""


def _day(text: str) -> str:
    return f"{date.fromisoformat(text):%-d %b}"


# Sessions.


@dataclass(frozen=True)
class _Moves:
    """Which session held each line, uid and name, and which lines are left; looked up when asked for."""

    before: Snapshot
    after: Snapshot

    @cached_property
    def was(self) -> dict[str, tuple[str, str]]:
        """By the uid of a line, the session that held it."""
        return _homes(self.before)

    @cached_property
    def now(self) -> frozenset[str]:
        """The uids of the lines that are still there."""
        return frozenset(line["uid"] for _, line in lines_of(self.after))


def _homes(snapshot: Snapshot) -> dict[str, tuple[str, str]]:
    return {
        line["uid"]: (session["uid"], session["name"])
        for week in snapshot["weeks"]
        for session in week["sessions"]
        for line in _lines(session)
    }


def _lines(session: SessionData) -> Iterator[Line]:
    return (line for pair in session["pairs"] for line in pair["lines"])


def _of_sessions(was: WeekData, now: WeekData, number: int, moves: _Moves) -> Iterator[Difference]:
    before = {session["uid"]: session for session in was["sessions"]}
    for session in now["sessions"]:
        old = before.pop(session["uid"], None)
        if old is None:
            words = f"session added on {_day(session['on'])} ({_names(session)})"
            yield _about(session, number, words)
        elif old != session:
            for words, line in _kept_of_session(was, old, now, session, moves):
                yield _about(session, number, words, line)
    for session in before.values():
        words = f"session of {_day(session['on'])} removed ({_names(session)})"
        yield _about(session, number, words)


def _about(session: SessionData, week: int, words: str, line: str = "") -> Difference:
    return Difference(week, words, session["uid"], session["name"], line)


def _names(session: SessionData) -> str:
    return ", ".join(line["name"] for line in _lines(session)) or "no exercises"


def _kept_of_session(
    week_was: WeekData, was: SessionData, week: WeekData, now: SessionData, moves: _Moves
) -> tuple[_Told, ...]:
    """What differs in a session, compared once while both stand as they do.

    They are known by who they are: nobody changes a plan in place, and while two are kept here
    no others have their ids. Besides them it depends on where lines came from and went to.
    """
    gone = {line["uid"] for line in _lines(was)} - {line["uid"] for line in _lines(now)}
    key = (
        *(id(moves.before), id(was), id(now), week_was["starts_on"], week["starts_on"]),
        frozenset(uid for uid in gone if uid in moves.now),
    )

    def make() -> tuple[object, tuple[_Told, ...]]:
        told = tuple(_of_session(week_was, was, week, now, moves))
        return (moves.before, was, now), told

    return _sessions.of(key, make)[1]


_sessions: Kept[tuple[object, tuple[_Told, ...]]] = Kept(KEPT_SESSIONS)


def _of_session(
    week_was: WeekData, was: SessionData, week: WeekData, now: SessionData, moves: _Moves
) -> Iterator[_Told]:
    if was["name"] != now["name"]:
        yield f"it was called {was['name']}", ""
    if _offset(week_was, was) != _offset(week, now):
        yield f"{date.fromisoformat(was['on']):%A} → {_weekday(now)}", ""
    yield from _lock_words(was.get("locked", False), now.get("locked", False), "session")
    yield from _of_lines(was, now, moves)
    yield from _of_pairs(was, now)


def _weekday(session: SessionData) -> str:
    return f"{date.fromisoformat(session['on']):%A}"


def _offset(week: WeekData, session: SessionData) -> int:
    start, on = date.fromisoformat(week["starts_on"]), date.fromisoformat(session["on"])
    return (on - start).days


def _lock_words(was: object, now: object, what: str) -> Iterator[_Told]:
    if bool(was) is not bool(now):
        yield f"{what} {'locked' if now else 'unlocked'}", ""


# Lines.


def _of_lines(was: SessionData, now: SessionData, moves: _Moves) -> Iterator[_Told]:
    before = {line["uid"]: line for line in _lines(was)}
    for line in _lines(now):
        old = before.pop(line["uid"], None)
        if old is not None:
            words = _line_words(old, line)
        elif line["uid"] in moves.was:
            words = f"{line['name']} moved here from {moves.was[line['uid']][1]}"
        else:
            words = f"{line['name']} {short_targets(line['targets'])} added"
        if words:
            yield words, line["uid"]
    for line in before.values():
        # What moved is told where it went.
        if line["uid"] not in moves.now:
            words = f"{line['name']} removed"
            yield words, line["uid"]


def _line_words(was: Line, now: Line) -> str:
    if was == now:
        return ""
    values = said_values(was, now)
    if was["exercise"] != now["exercise"]:
        return f"{was['name']} → {now['name']}" + (f" ({values})" if values else "")
    return f"{now['name']} {values}" if values else ""


def _of_pairs(was: SessionData, now: SessionData) -> Iterator[_Told]:
    """Order and pairs of what both hold, parts and locks."""
    kept = {line["uid"] for line in _lines(was)} & {line["uid"] for line in _lines(now)}
    before, after = _shape(was, kept), _shape(now, kept)
    if before != after:
        yield f"order and pairs now {_shape_words(now)}", ""
    parts = {line["uid"]: pair for pair in was["pairs"] for line in pair["lines"]}
    for pair in now["pairs"]:
        old = next((parts[ln["uid"]] for ln in pair["lines"] if ln["uid"] in parts), None)
        if old is None:
            continue
        names = " and ".join(line["name"] for line in pair["lines"])
        if old["part"] != pair["part"]:
            yield f"{names}: {old['part']} → {pair['part']}", ""
        yield from _lock_words(old.get("locked", False), pair.get("locked", False), names)


def _shape(session: SessionData, kept: set[str]) -> list[list[str]]:
    pairs = [[ln["uid"] for ln in pair["lines"] if ln["uid"] in kept] for pair in session["pairs"]]
    return [pair for pair in pairs if pair]


def _shape_words(session: SessionData) -> str:
    def words(pair: PairData) -> str:
        return f"{pair['letter']} {' + '.join(line['name'] for line in pair['lines'])}"

    return ", ".join(words(pair) for pair in session["pairs"])
