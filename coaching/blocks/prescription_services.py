"""Writes of single prescriptions: change what is asked, or swap the exercise."""

from collections.abc import Mapping
from datetime import date
from typing import Any, cast

from django.db import transaction

from clients.models import Client, User
from coaching.blocks.adaptation import converted_targets
from coaching.blocks.editing.values import LONGEST_SET, MOST_SETS
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.limit_services import fields_of, override_limit
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
from coaching.rules.plan import Exercise as ExerciseValue
from coaching.rules.plan import Measure, Tempo

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
    must avoid and no reason to override that limit is given. An override is recorded: which
    exercise, which limits, who, when and why; the version tells it too.
    """
    values = exercise_values([prescription.exercise_id, to.pk])
    asked, given = values[prescription.exercise_id], values[to.pk]
    session = prescription.pair.planned_session
    client = session.week.block.client
    fields = fields_of(given, to, client)
    why = _allowed(given, to, client, session.on, by, override_why)
    targets = converted_targets(tuple(prescription.targets), asked.measure, given.measure)
    fields["targets"] = list(targets)
    if given.measure is asked.measure and given.measure is not Measure.SECONDS:
        del fields["tempo"]
    return change_prescription(
        prescription=prescription, fields=fields, onward=onward, today=today, by=by, why=why
    )


def _allowed(
    exercise: ExerciseValue, row: Exercise, client: Client, on: date, by: User, override_why: str
) -> str:
    """What to keep as the reason; raises BlockError when joints forbid the exercise."""
    blocking = ", ".join(str(limit) for limit in joints_of(client).blocking(exercise, on))
    if not blocking:
        return ""
    if not override_why:
        message = (
            f"{exercise.name} loads {blocking}, which is avoided: override it by name, and say why."
        )
        raise BlockError(message)
    override_limit(client=client, exercise=row, name=row.name, why=override_why, on=on, by=by)
    return f"Joint limit overridden by name ({blocking}): {override_why}"[:MOST_REASON]


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
