"""Two plans made from the same one, put together session by session."""

from collections.abc import Iterator
from dataclasses import dataclass

from coaching.blocks.snapshots import SessionData, Snapshot, WeekData


@dataclass(frozen=True, slots=True)
class Merged:
    """The plan with both changes; ``clashes`` say where one of them had to give way."""

    snapshot: Snapshot
    clashes: tuple[str, ...]


def merge(base: Snapshot, theirs: Snapshot, mine: Snapshot) -> Merged:
    """Where only one plan changed a session its change counts; where both did, mine."""
    if mine == base:
        return Merged(theirs, ())
    if [week["starts_on"] for week in theirs["weeks"]] != [w["starts_on"] for w in mine["weeks"]]:
        return Merged(mine, ("The weeks of the block were changed too; yours are kept.",))
    was, other = dict(_sessions(base)), dict(_sessions(theirs))
    clashes: list[str] = []

    def merged(session: SessionData) -> SessionData:
        before, now = was.get(session["uid"]), other.get(session["uid"])
        if now is None or now in (before, session):
            return session
        if session == before:
            return now
        clashes.append(f"{session['name']} on {session['on']} was changed too; yours is kept.")
        return session

    weeks: list[WeekData] = [
        {**week, "sessions": [merged(one) for one in week["sessions"]]} for week in mine["weeks"]
    ]
    return Merged({"weeks": weeks}, tuple(clashes))


def _sessions(snapshot: Snapshot) -> Iterator[tuple[str, SessionData]]:
    return ((one["uid"], one) for week in snapshot["weeks"] for one in week["sessions"])
