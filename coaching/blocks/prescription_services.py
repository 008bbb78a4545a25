"""Writes of single prescriptions: change what is asked, or swap the exercise."""

from collections.abc import Mapping
from datetime import date
from typing import Any, cast

from django.db import transaction

from clients.models import User
from clients.queries import equipment_of
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
from coaching.library.models import Exercise
from coaching.library.queries import exercise_values
from coaching.rules.loads import available_loads
from coaching.rules.plan import LoadKind, Measure, Tempo

MOST_SETS = 12
LONGEST_SET = 600


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
    what = f"{prescription.exercise.name}, {session.name}"
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


@transaction.atomic
def swap_exercise(
    *,
    prescription: Prescription,
    to_id: int,
    onward: bool,
    today: date,
    by: User,
    why: str = "",
) -> BlockVersion:
    """Put another exercise in the place of one, with targets of its kind and its easiest load."""
    to = Exercise.objects.get(pk=to_id)
    values = exercise_values([prescription.exercise_id, to.pk])
    asked, given = values[prescription.exercise_id], values[to.pk]
    client = prescription.pair.planned_session.week.block.client
    loads = available_loads(given, equipment_of(client))
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
