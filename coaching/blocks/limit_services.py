"""Writes about joint limits in a plan: override one by name, withdraw that, put a replacement in."""

from collections.abc import Collection
from datetime import date
from typing import Any, cast

from django.db import transaction
from django.utils import timezone

from clients.models import Client, User
from clients.queries import equipment_of
from coaching.blocks.adaptation import converted_targets
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, BlockVersion, JointLimitOverride
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import change_block, hold_block
from coaching.blocks.snapshots import (
    Line,
    PairData,
    lines_of,
    with_lines_changed,
    without_exercise,
)
from coaching.library.models import Exercise
from coaching.library.queries import exercise_values
from coaching.rules.joint_limits import JointLimit
from coaching.rules.loads import available_loads, missing_equipment
from coaching.rules.plan import Exercise as ExerciseValue
from coaching.rules.plan import LoadKind

LONGEST_REASON = 300


@transaction.atomic
def override_limit(
    *, client: Client, exercise: Exercise, name: str, why: str, days: Collection[date], by: User
) -> JointLimitOverride:
    """Record that a client may do one exercise in spite of the limits that it loads on some days.

    ``name`` is the exercise as the coach typed it. Raises BlockError when it is another name,
    when no reason is given, or when no limit stands in the way.
    """
    if name.strip().casefold() != exercise.name.casefold():
        message = f"“{name.strip()}” is not the full name; type “{exercise.name}” to override."
        raise BlockError(message)
    if not why.strip():
        message = f"Say why {exercise.name} is right for {client.name}; it is kept."
        raise BlockError(message)
    value = exercise_values([exercise.pk])[exercise.pk]
    joints = joints_of(client)
    blocking = {limit for day in days for limit in joints.blocking(value, day)}
    if not blocking:
        message = f"No joint limit stands in the way of {exercise.name}; nothing to override."
        raise BlockError(message)
    return JointLimitOverride.objects.create(
        client=client,
        exercise=exercise,
        limits=sorted(limit.key for limit in blocking),
        stresses=sorted({limit.stress.value for limit in blocking}),
        why=why.strip()[:LONGEST_REASON],
        by=by,
        given_at=timezone.now(),
    )


@transaction.atomic
def withdraw_override(*, override: JointLimitOverride, by: User) -> JointLimitOverride:
    """Take an override back: from now on the exercise is flagged and asked about again.

    Raises BlockError when it is withdrawn already. The record stays.
    """
    if override.withdrawn_at is not None:
        message = "This override is withdrawn already."
        raise BlockError(message)
    # A clock that was set back must not make a record that ends before it begins.
    override.withdrawn_at = max(timezone.now(), override.given_at)
    override.withdrawn_by = by
    override.save(update_fields=["withdrawn_at", "withdrawn_by"])
    return override


def put_in_place(
    *, block: Block, exercise: Exercise, to: Exercise | None, today: date, by: User
) -> BlockVersion:
    """Put another exercise in the place of one in every session to come, or leave it out."""
    if to is None:
        return leave_out_of_plan(block=block, exercise=exercise, today=today, by=by)
    return replace_in_plan(block=block, exercise=exercise, to=to, today=today, by=by)


@transaction.atomic
def replace_in_plan(
    *, block: Block, exercise: Exercise, to: Exercise, today: date, by: User
) -> BlockVersion:
    """Put one exercise in the place of another in every session to come, light weeks too.

    Targets are kept, turned into seconds or back where the new exercise counts otherwise, and
    the load is the easiest. Raises BlockError when the exercise is not to come, or when the
    client cannot do the other one.
    """
    values = exercise_values([exercise.pk, to.pk])
    asked, given = values[exercise.pk], values[to.pk]
    fields = fields_of(given, to, block.client)

    def changed(_pair: PairData, line: Line) -> Line:
        targets = converted_targets(tuple(line["targets"]), asked.measure, given.measure)
        tempo = fields["tempo"] if given.measure is not asked.measure else line["tempo"]
        return cast("Line", {**line, **fields, "targets": list(targets), "tempo": tempo})

    hold_block(block)
    before = snapshot_of(block)
    snapshot = with_lines_changed(
        before,
        lambda _session, _pair, line: line["exercise"] == exercise.pk,
        changed,
        since=today,
        light_too=True,
    )
    if snapshot == before:
        message = f"{exercise.name} is in no session to come; nothing is to be replaced."
        raise BlockError(message)
    what = f"{exercise.name} → {to.name}, in every session to come"
    why = _because(joints_of(block.client).on(today), asked)
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


@transaction.atomic
def leave_out_of_plan(*, block: Block, exercise: Exercise, today: date, by: User) -> BlockVersion:
    """Take an exercise out of every session to come; what is left empty goes with it.

    Raises BlockError when it is in none of them, or when nothing would be left to train.
    """
    hold_block(block)
    before = snapshot_of(block)
    snapshot = without_exercise(before, exercise.pk, since=today)
    if snapshot == before:
        message = f"{exercise.name} is in no session to come; there is nothing to remove."
        raise BlockError(message)
    if not list(lines_of(snapshot, since=today)):
        message = f"Without {exercise.name} nothing is left to train; make another block."
        raise BlockError(message)
    value = exercise_values([exercise.pk])[exercise.pk]
    what = f"{exercise.name} removed from every session to come"
    why = _because(joints_of(block.client).on(today), value)
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


def fields_of(given: ExerciseValue, row: Exercise, client: Client) -> dict[str, Any]:
    """What a line says of an exercise that is put in; BlockError when equipment is missing."""
    equipment = equipment_of(client)
    missing = missing_equipment(given, [item.kind for item in equipment])
    if missing:
        message = f"{given.name} needs {', '.join(missing)}; add it to the equipment first."
        raise BlockError(message)
    loads = available_loads(given, equipment)
    load = loads[0] if loads and given.load_kind is LoadKind.ASSISTED else 0.0
    return {"exercise": row.pk, "name": row.name, "load_kg": load, "tempo": row.tempo}


def _because(limits: tuple[JointLimit, ...], exercise: ExerciseValue) -> str:
    loaded = [limit for limit in limits if limit.stress in exercise.joint_stresses]
    told = ", ".join(f"{limit.action} {limit}" for limit in loaded)
    return f"Joint limit: {told}"[:500] if told else ""
