"""The one gate before a plan: nothing enters it that loads what the client must avoid.

Whatever writes a plan passes here: a swap, a step to another rung, an undo, a light week, the
publishing of a draft. What stands in the plan already stays, is shown, and is asked about.
"""

from collections.abc import Sequence
from datetime import date

from clients.models import Client
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, Prescription
from coaching.blocks.snapshots import Line, SessionData, Snapshot, lines_of
from coaching.library.queries import exercise_values
from coaching.rules.joint_limits import Joints, LimitAction


def refuse_avoided(
    *, block: Block, snapshot: Snapshot, today: date, all_of_it: bool = False
) -> None:
    """Raise BlockError when a plan brings in what the client must avoid, naming it and the remedy.

    With ``all_of_it`` what stands in the plan already is judged too. 1 query for a client
    without joint limits, 5 otherwise.
    """
    joints = joints_of(block.client)
    if any(limit.action is LimitAction.AVOID for limit in joints.limits):
        refuse_lines(block.client, joints, _coming(block, snapshot, today, all_of_it=all_of_it))


def refuse_lines(client: Client, joints: Joints, lines: Sequence[tuple[SessionData, Line]]) -> None:
    """Raise BlockError when one of the lines loads what the client must avoid; 2 queries."""
    values = exercise_values({line["exercise"] for _, line in lines})
    found: dict[str, list[str]] = {}
    for session, line in lines:
        exercise = values[line["exercise"]]
        for limit in joints.blocking(exercise, date.fromisoformat(session["on"])):
            words = found.setdefault(exercise.name, [])
            if str(limit) not in words:
                words.append(str(limit))
    if found:
        told = "; ".join(f"{name} loads {', '.join(words)}" for name, words in found.items())
        message = (
            f"{told}, which {client.name} avoids. Put another exercise in its place, "
            "or override the limit by name first."
        )
        raise BlockError(message)


def _coming(
    block: Block, snapshot: Snapshot, today: date, *, all_of_it: bool
) -> list[tuple[SessionData, Line]]:
    """The lines from today on that are to be judged."""
    lines = list(lines_of(snapshot, since=today))
    if all_of_it:
        return lines
    planned = Prescription.objects.filter(pair__planned_session__week__block=block)
    there = {(str(uid), pk) for uid, pk in planned.values_list("uid", "exercise_id")}
    return [(s, line) for s, line in lines if (line["uid"], line["exercise"]) not in there]
