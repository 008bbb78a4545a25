"""Writes of single prescriptions: change what is asked, or swap the exercise."""

from collections.abc import Collection, Mapping
from datetime import date
from typing import Any, cast

from django.db import transaction

from clients.models import User
from clients.queries import equipment_of, joint_limits_of
from coaching.blocks.adaptation import converted_targets
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockVersion, Prescription
from coaching.blocks.services import change_block
from coaching.blocks.snapshots import (
    Line,
    PairData,
    SessionData,
    snapshot_of,
    with_lines_changed,
    with_one_line,
)
from coaching.blocks.words import kilograms, rest_text, short_targets
from coaching.library.models import Exercise
from coaching.library.queries import exercise_values
from coaching.rules.joint_limits import JointLimit, blocked_by
from coaching.rules.loads import EquipmentItem, available_loads, missing_equipment
from coaching.rules.plan import Exercise as ExerciseValue
from coaching.rules.plan import LoadKind, Measure, Tempo

MOST_SETS = 12
LONGEST_SET = 600
MOST_WORDS = 200
MOST_REASON = 500


@transaction.atomic
def change_prescription(
    *,
    prescription: Prescription,
    fields: Mapping[str, Any],
    onward: bool,
    today: date,
    by: User,
    why: str = "",
) -> BlockVersion:
    """Change one prescription, in its week only or in all coming weeks alike.

    ``fields`` may hold targets, load_kg, tempo, rest_s, rir, exercise (row id) and name.
    Light weeks stay as they are, unless it is a light week that is changed. Raises
    BlockError for a session that is past or begun, or a value no session can hold.
    """
    session = prescription.pair.planned_session
    if session.on < today or session.started_at is not None:
        message = "This session is past or already begun; change a coming one."
        raise BlockError(message)
    check_prescription(fields)
    block = session.week.block
    uid, exercise, name = str(prescription.uid), prescription.exercise_id, session.name

    def wanted(data: SessionData, _pair: PairData, line: Line) -> bool:
        same_place = data["name"] == name and line["exercise"] == exercise
        return line["uid"] == uid or (onward and same_place)

    def changed(_pair: PairData, line: Line) -> Line:
        return cast("Line", {**line, **fields})

    before = snapshot_of(block)
    snapshot = with_lines_changed(before, wanted, changed, since=session.on)
    if snapshot == before:
        # A change "from here on" passes light weeks by; this one is itself in a light week.
        snapshot = with_one_line(before, uid, changed)
    if snapshot == before:
        message = "Nothing differs from the plan; change a value, or keep it as it was."
        raise BlockError(message)
    what = f"{said_change(prescription, fields)}, {session.name}"[:MOST_WORDS]
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


def said_change(row: Prescription, fields: Mapping[str, Any]) -> str:
    """What a change does, in words: Pull-up 5 × 6 → 5 × 7, rest 90 s → 60 s."""
    name = fields.get("name", row.exercise.name)
    if name != row.exercise.name:
        return f"{row.exercise.name} → {name}"
    was_and_is = (
        ("", short_targets(row.targets), short_targets(fields.get("targets", row.targets))),
        ("", kilograms(float(row.load_kg)), kilograms(fields.get("load_kg", float(row.load_kg)))),
        ("tempo ", row.tempo, fields.get("tempo", row.tempo)),
        ("rest ", rest_text(row.rest_s), rest_text(fields.get("rest_s", row.rest_s))),
        ("RIR ", row.rir, fields.get("rir", row.rir)),
    )
    changes = [
        f"{word}{'–' if was is None else was} → {'–' if now is None else now}"
        for word, was, now in was_and_is
        if was != now
    ]
    return f"{name} {', '.join(changes)}".strip()


@transaction.atomic
def swap_exercise(
    *,
    prescription: Prescription,
    to: Exercise,
    onward: bool,
    today: date,
    by: User,
    override_why: str = "",
) -> BlockVersion:
    """Put another exercise in the place of one, with targets of its kind and its easiest load.

    Raises BlockError when equipment is missing, or when the exercise loads what the client
    must avoid and no reason to override that limit is given. An override is kept with the
    version: which limit, and why.
    """
    values = exercise_values([prescription.exercise_id, to.pk])
    asked, given = values[prescription.exercise_id], values[to.pk]
    session = prescription.pair.planned_session
    client = session.week.block.client
    equipment = equipment_of(client)
    why = _allowed(given, joint_limits_of(client, session.on), equipment, override_why)
    loads = available_loads(given, equipment)
    load = loads[0] if loads and given.load_kind is LoadKind.ASSISTED else 0.0
    targets = converted_targets(tuple(prescription.targets), asked.measure, given.measure)
    fields: dict[str, Any] = {
        "exercise": to.pk,
        "name": to.name,
        "targets": list(targets),
        "load_kg": load,
    }
    if given.measure is not asked.measure or given.measure is Measure.SECONDS:
        fields["tempo"] = to.tempo
    return change_prescription(
        prescription=prescription, fields=fields, onward=onward, today=today, by=by, why=why
    )


def _allowed(
    exercise: ExerciseValue,
    limits: Collection[JointLimit],
    equipment: Collection[EquipmentItem],
    override_why: str,
) -> str:
    """What to keep as the reason; raises BlockError when the client cannot do the exercise."""
    missing = missing_equipment(exercise, [item.kind for item in equipment])
    if missing:
        message = f"{exercise.name} needs {', '.join(missing)}; add it to the equipment first."
        raise BlockError(message)
    blocked = ", ".join(str(limit) for limit in blocked_by(exercise, limits))
    if blocked and not override_why:
        message = (
            f"{exercise.name} loads {blocked}, which is avoided: override it by name, and say why."
        )
        raise BlockError(message)
    return (
        f"Joint limit overridden by name ({blocked}): {override_why}"[:MOST_REASON]
        if blocked
        else ""
    )


def check_prescription(fields: Mapping[str, Any]) -> None:
    """Refuse values that no session can hold, naming the field and the remedy."""
    targets = fields.get("targets")
    if targets is not None and not 1 <= len(targets) <= MOST_SETS:
        message = f"Sets: {len(targets)} is not between 1 and {MOST_SETS}."
        raise BlockError(message)
    if targets is not None and not all(1 <= t <= LONGEST_SET for t in targets):
        message = f"Targets: each set needs a number from 1 to {LONGEST_SET}."
        raise BlockError(message)
    if "tempo" in fields:
        try:
            Tempo.parse(fields["tempo"])
        except ValueError as error:
            raise BlockError(str(error)) from error
