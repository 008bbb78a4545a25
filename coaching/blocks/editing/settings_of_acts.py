"""What an act may need to know of a client and the library, fetched for that act."""

from collections.abc import Mapping, Set
from datetime import date

from django.db.models import Q

from clients.models import Client
from clients.queries import equipment_of
from coaching.blocks.editing.acts import Edited, EditSetting, exercises_needed
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_guard import refuse_lines
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block
from coaching.blocks.snapshots import Snapshot, lines_of
from coaching.library.models import Exercise
from coaching.library.queries import KnownExercise, known_exercises, planned_exercises
from coaching.rules.joint_limits import Joints
from coaching.rules.loads import EquipmentItem, available_loads, missing_equipment
from coaching.rules.plan import Level

_ASKS_FOR_LOADS = {"load", "load_kg"}


def setting_for(
    block: Block,
    plan: Snapshot,
    act: Mapping[str, str],
    *,
    today: date,
    begun: frozenset[str],
) -> EditSetting:
    """What the act may need to know; 1 query, 2 where loads are asked for.

    Raises BlockError when the client has not what an exercise needs.
    """
    client = block.client
    planned = {line["exercise"] for _, line in lines_of(plan)}
    needed = exercises_needed(act)
    rows = _exercises(client, planned, needed)
    values = {pk: row.value for pk, row in rows.items()}
    equipment: tuple[EquipmentItem, ...] = ()
    asked = set(needed)
    if act.get("field") in _ASKS_FOR_LOADS:
        asked |= planned
    if asked:
        equipment = equipment_of(client)
    for pk in needed & values.keys():
        missing = missing_equipment(values[pk], [item.kind for item in equipment])
        if missing:
            message = (
                f"{values[pk].name} needs {', '.join(missing)}; add it to the equipment first."
            )
            raise BlockError(message)
    return EditSetting(
        today=today,
        begun=begun,
        exercises=values,
        loads={pk: available_loads(values[pk], equipment) for pk in asked & values.keys()},
        tempos={pk: rows[pk].tempo for pk in needed & rows.keys()},
        is_seen=block.published_at is not None,
        level=Level(client.level),
    )


def _exercises(client: Client, planned: Set[int], needed: Set[int]) -> dict[int, KnownExercise]:
    """The exercises of the plan and those of the coach's library that the act brings in."""
    if needed <= planned:
        return planned_exercises(planned)
    in_library = Exercise.objects.of_coach(client.coach).in_use().filter(pk__in=needed)
    rows = Exercise.objects.filter(Q(pk__in=planned) | Q(pk__in=in_library.values("pk")))
    return known_exercises(rows)


def refuse_brought_in(client: Client, act: Mapping[str, str], edited: Edited) -> Joints | None:
    """Refuse an exercise that the act brings in and that loads what the client must avoid.

    No query for an act that brings in none, else 1 to 4; then the client's joints come back.
    """
    needed = exercises_needed(act)
    if not needed:
        return None
    joints = joints_of(client)
    if not joints.limits:
        return joints
    brought = [
        (session, line)
        for session, line in lines_of(edited.snapshot)
        if line["exercise"] in needed and session["uid"] in edited.touched
    ]
    refuse_lines(client, joints, brought)
    return joints
