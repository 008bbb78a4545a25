"""The one gate before a plan: nothing enters it that loads what the client must avoid.

Whatever writes a plan passes here: a swap, a step to another rung, an undo, a light week, the
publishing of a draft. What stands in the plan already stays, is shown, and is asked about.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date

from clients.models import Client
from coaching.blocks.editing.places import Edited
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, Prescription
from coaching.blocks.snapshots import Line, SessionData, Snapshot, lines_of
from coaching.library.queries import exercise_values
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import Exercise


def refuse_avoided(
    *, block: Block, snapshot: Snapshot, today: date, all_of_it: bool = False
) -> None:
    """Raise BlockError when a plan brings in what the client must avoid, naming it and the remedy.

    With ``all_of_it`` what stands in the plan already is judged too. 1 query for a client
    without joint limits, 5 otherwise.
    """
    joints = joints_of(block.client)
    if any(limit.action is LimitAction.AVOID for limit in joints.limits):
        if all_of_it:
            refuse_lines(block.client, joints, list(lines_of(snapshot, since=today)))
        else:
            _refuse_coming(block, joints, snapshot, today)


def refuse_lines(client: Client, joints: Joints, lines: Sequence[tuple[SessionData, Line]]) -> None:
    """Raise BlockError when one of the lines loads what the client must avoid; 1 query."""
    values = exercise_values({line["exercise"] for _, line in lines})
    _refuse(client, joints, [(values[line["exercise"]], _day(one), None) for one, line in lines])


def brings_avoided(
    joints: Joints,
    before: Snapshot,
    after: Edited,
    brought: Collection[int],
    exercises: Mapping[int, Exercise],
) -> bool:
    """Whether an act would be refused here, or what it leaves when it is published; no query.

    ``brought`` are the rows of the exercises that it brings in.
    """
    if not any(limit.action is LimitAction.AVOID for limit in joints.limits):
        return False
    stood = {(ln["uid"], ln["exercise"]): _day(session) for session, ln in lines_of(before)}
    planned = []
    for session, line in lines_of(after.snapshot):
        if session["uid"] in after.touched:
            row, on = line["exercise"], _day(session)
            was = None if row in brought else stood.get((line["uid"], row))
            planned += [(exercises[row], on, was)] if was != on else []
    return any(_newly_blocked(joints, planned))


_Planned = Iterable[tuple[Exercise, date, date | None]]
"""Exercises with their day, and the one on which they stood already; none where they are new."""


def _newly_blocked(joints: Joints, planned: _Planned) -> Iterator[tuple[Exercise, JointLimit]]:
    """What loads on its day what is avoided, and did not on the day before."""
    for exercise, on, stood_on in planned:
        stood = joints.blocking(exercise, stood_on) if stood_on else ()
        for limit in joints.blocking(exercise, on):
            if limit not in stood:
                yield exercise, limit


def _refuse(client: Client, joints: Joints, planned: _Planned) -> None:
    found: dict[str, list[str]] = {}
    for exercise, limit in _newly_blocked(joints, planned):
        words = found.setdefault(exercise.name, [])
        if str(limit) not in words:
            words.append(str(limit))
    told = "; ".join(f"{name} loads {', '.join(words)}" for name, words in found.items())
    if told:
        message = (
            f"{told}, which {client.name} avoids. Put another exercise in its place, "
            "or override the limit by name first."
        )
        raise BlockError(message)


def _refuse_coming(block: Block, joints: Joints, snapshot: Snapshot, today: date) -> None:
    """Judge the lines from today on that are new in the rows' plan, or stand on another day."""
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)
    stood = {
        (str(uid), exercise): on
        for uid, exercise, on in rows.values_list("uid", "exercise", "pair__planned_session__on")
    }
    lines = [(line, _day(one)) for one, line in lines_of(snapshot, since=today)]
    anew = [
        (line["exercise"], on, stood.get((line["uid"], line["exercise"])))
        for line, on in lines
        if stood.get((line["uid"], line["exercise"])) != on
    ]
    values = exercise_values({exercise for exercise, _, _ in anew})
    _refuse(block.client, joints, [(values[key], on, was) for key, on, was in anew])


def _day(session: SessionData) -> date:
    return date.fromisoformat(session["on"])
