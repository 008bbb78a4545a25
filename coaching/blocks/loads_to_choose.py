"""What of a plan has no load yet that needs one, before the client is asked for it."""

from collections.abc import Collection, Iterator, Mapping
from datetime import date

from coaching.blocks.snapshots import Line, Snapshot
from coaching.rules.load_to_choose import is_left_open
from coaching.rules.plan import Exercise


def to_choose_in(
    snapshot: Snapshot, exercises: Mapping[int, Exercise], since: date, begun: Collection[str]
) -> tuple[str, ...]:
    """The names of the exercises, each once, whose load nobody has chosen for a coming session."""
    lines = _coming(snapshot, since, begun)
    found = (
        line["name"] for line in lines if is_left_open(exercises[line["exercise"]], line["load_kg"])
    )
    return tuple(dict.fromkeys(found))


def _coming(snapshot: Snapshot, since: date, begun: Collection[str]) -> Iterator[Line]:
    first = since.isoformat()
    for week in snapshot["weeks"]:
        for session in week["sessions"]:
            if session["on"] >= first and session["uid"] not in begun:
                for pair in session["pairs"]:
                    yield from pair["lines"]
