"""What is past or begun stands as it was published, whatever a working copy says of it."""

from collections.abc import Iterator, Mapping, Set
from datetime import date
from uuid import NAMESPACE_OID, uuid5

from coaching.blocks.snapshots import Line, SessionData, Snapshot, WeekData


def settled(snapshot: Snapshot, published: Snapshot, *, today: date, begun: Set[str]) -> Snapshot:
    """The working copy as it can still be published: past and begun sessions as they stand.

    A session of the working copy that is past and was never published is left out. Where
    nothing is to be put right the snapshot itself comes back.
    """
    day = today.isoformat()
    fixed = {
        session["uid"]: (week, session)
        for week, session in _sessions(published)
        if session["on"] < day or session["uid"] in begun
    }
    if _stands(snapshot, fixed, day):
        return snapshot
    names = {line["uid"] for _, session in fixed.values() for line in _lines(session)}
    weeks: dict[str, WeekData] = {
        week["starts_on"]: {
            **week,
            "sessions": [
                _with_own_lines(session, names)
                for session in week["sessions"]
                if session["uid"] not in fixed and session["on"] >= day
            ],
        }
        for week in snapshot["weeks"]
    }
    for week, session in fixed.values():
        there = weeks.setdefault(week["starts_on"], {**week, "sessions": []})
        there["kind"] = week["kind"]
        there["sessions"].append(session)
    for there in weeks.values():
        there["sessions"].sort(key=lambda session: session["on"])
    return {"weeks": [weeks[starts_on] for starts_on in sorted(weeks)]}


def changed_sessions(before: Snapshot, after: Snapshot) -> frozenset[str]:
    """The uids of sessions that differ, or are new, or stand in a week of another kind."""
    was = {session["uid"]: (week["kind"], session) for week, session in _sessions(before)}
    return frozenset(
        session["uid"]
        for week, session in _sessions(after)
        if was.get(session["uid"]) != (week["kind"], session)
    )


def _sessions(snapshot: Snapshot) -> Iterator[tuple[WeekData, SessionData]]:
    return ((week, session) for week in snapshot["weeks"] for session in week["sessions"])


def _lines(session: SessionData) -> Iterator[Line]:
    return (line for pair in session["pairs"] for line in pair["lines"])


def _stands(
    snapshot: Snapshot, fixed: Mapping[str, tuple[WeekData, SessionData]], day: str
) -> bool:
    """Whether every fixed session is there as published, and no other past one."""
    there = 0
    for week, session in _sessions(snapshot):
        as_published = fixed.get(session["uid"])
        if as_published is None:
            if session["on"] < day:
                return False
            continue
        there += 1
        of_week, published = as_published
        same_week = (week["starts_on"], week["kind"]) == (of_week["starts_on"], of_week["kind"])
        if session != published or not same_week:
            return False
    return there == len(fixed)


def _with_own_lines(session: SessionData, taken: Set[str]) -> SessionData:
    """The session, with new uids for lines that went back to where they are published."""
    if not any(line["uid"] in taken for line in _lines(session)):
        return session
    return {
        **session,
        "pairs": [
            {
                **pair,
                "lines": [
                    {**line, "uid": str(uuid5(NAMESPACE_OID, line["uid"] + session["uid"]))}
                    if line["uid"] in taken
                    else line
                    for line in pair["lines"]
                ],
            }
            for pair in session["pairs"]
        ],
    }
