"""Writes about joint limits in a plan: override one by name, withdraw that, put a replacement in."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.utils import timezone

from clients.models import Client, User
from coaching.blocks.editing.acts import Edited, apply_act
from coaching.blocks.editing.settings_of_acts import setting_for
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, BlockVersion, JointLimitOverride
from coaching.blocks.plan_rows import standing_of
from coaching.blocks.services import change_block, hold_block
from coaching.blocks.snapshots import Snapshot
from coaching.library.models import Exercise
from coaching.library.queries import exercise_values
from coaching.rules.joint_limits import Joints
from coaching.rules.plan import Exercise as ExerciseValue

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


@dataclass(frozen=True)
class PutInPlace:
    """The version that was made, and what stays as it is because it is locked, in sentences."""

    version: BlockVersion
    locked: tuple[str, ...]


@transaction.atomic
def put_in_place(
    *, block: Block, exercise: Exercise, to: Exercise | None, today: date, by: User
) -> PutInPlace:
    """Put another exercise in the place of one in every session to come, or leave it out.

    By the act of the block's page: what is locked stays and is told. Raises BlockError when the
    exercise is not to come, when all of it is locked, when the client cannot do the other one,
    or when nothing would be left to train.
    """
    raw = {"act": "leave-out", "exercise": str(exercise.pk)}
    if to is not None:
        raw = {"act": "replace-exercise", "exercise": str(exercise.pk), "to": str(to.pk)}
    hold_block(block)
    now = standing_of(block)
    setting = setting_for(block, now.snapshot, raw, today=today, begun=now.begun)
    done = apply_act(now.snapshot, raw, setting)
    version = change_block(
        block=block,
        snapshot=done.snapshot,
        today=today,
        by=by,
        what=done.what,
        why=_because(joints_of(block.client), setting.exercise(exercise.pk), now.snapshot, done),
    )
    return PutInPlace(version, done.skipped)


def _because(joints: Joints, exercise: ExerciseValue, before: Snapshot, done: Edited) -> str:
    """The limits that an exercise loads on the days of the sessions that an act changes."""
    sessions = [one for week in before["weeks"] for one in week["sessions"]]
    days = sorted({one["on"] for one in sessions if one["uid"] in done.touched})
    held = dict.fromkeys(one for on in days for one in joints.on(date.fromisoformat(on)))
    loaded = [limit for limit in held if limit.stress in exercise.joint_stresses]
    told = ", ".join(f"{limit.action} {limit}" for limit in loaded)
    return f"Joint limit: {told}"[:500] if told else ""
