"""Sets as plain rows, beside what the plan of their day asked for, turned into values."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple
from uuid import UUID

from coaching.library.client_body import FittedExercises
from coaching.rules import log, plan
from coaching.rules.ability_sets import rest_between
from coaching.rules.progression import Exposure
from sessions.models import LoggedSession

Place = tuple[int, str]
"""An exercise row and the part of the session it is done in."""


class Asked(NamedTuple):
    """What the plan of a day asked for in one place: the part of the session, and the line."""

    part: str
    line: Mapping[str, Any]


def asked_lines(planned: Sequence[Mapping[str, Any]]) -> dict[str, Asked]:
    """The lines of a plan as a log keeps it, by uid."""
    return {
        line["uid"]: Asked(pair["part"], line)
        for session in planned
        for pair in session["pairs"]
        for line in pair["lines"]
    }


class SetRow(NamedTuple):
    """One logged set as the database holds it."""

    logged_session_id: int
    exercise_id: int
    prescription_uid: UUID | None
    number: int
    amount: int
    load_kg: Any
    target: int | None
    target_load_kg: Any
    rir: int | None
    pain: int | None
    pain_where: str
    note: str
    warm_up: bool


def set_value(
    row: SetRow, exercise: plan.Exercise, asked: Mapping[str, Asked], rests: Mapping[str, float]
) -> log.LoggedSet:
    """One set; the target of a line holds for its own exercise, not for what was done instead."""
    uid = str(row.prescription_uid or "")
    instead = uid in asked and asked[uid].line["exercise"] != row.exercise_id
    target_load = None if instead else row.target_load_kg
    return log.LoggedSet(
        exercise=exercise,
        number=row.number,
        amount=row.amount,
        load=float(row.load_kg),
        target=None if instead else row.target,
        target_load=None if target_load is None else float(target_load),
        rir=row.rir,
        pain=row.pain,
        pain_where=row.pain_where,
        note=row.note,
        warm_up=row.warm_up,
        rest=rests.get(uid),
    )


def rests_of(planned: Sequence[Mapping[str, Any]]) -> dict[str, float]:
    """Seconds between two sets of each prescription of a session, by its uid."""
    return {
        line["uid"]: rest_between(line["rest_s"], paired=len(pair["lines"]) > 1)
        for session in planned
        for pair in session["pairs"]
        for line in pair["lines"]
    }


def exposures_of(
    head: LoggedSession,
    done: Sequence[tuple[SetRow, log.LoggedSet]],
    asked: Mapping[str, Asked],
    exercises: FittedExercises,
) -> Iterable[tuple[Place, Exposure]]:
    """Each exercise of one session, with what was planned for it that day.

    What was done in place of another exercise, or added to a plan, stands besides it.
    """
    groups: dict[tuple[int, str], list[log.LoggedSet]] = defaultdict(list)
    for row, one in done:
        groups[row.exercise_id, str(row.prescription_uid or "")].append(one)
    for (exercise_id, uid), sets in groups.items():
        line = asked.get(uid)
        part = line.part if line else plan.Part.SUPPLEMENTARY.value
        planned = None
        if line is not None and line.line["exercise"] == exercise_id:
            planned = _line_value(line.line, part, exercises.of(head.client_id, exercise_id))
        exposure = Exposure(
            on=head.on,
            sets=tuple(sets),
            planned=planned,
            kind=plan.WeekKind(head.kind),
            besides=bool(asked) and planned is None,
        )
        yield (exercise_id, part), exposure


def _line_value(line: Mapping[str, Any], part: str, exercise: plan.Exercise) -> plan.Prescription:
    return plan.Prescription(
        key=line["uid"],
        exercise=exercise,
        targets=tuple(line["targets"]),
        load=float(line["load_kg"]),
        tempo=plan.Tempo.parse(line["tempo"]),
        rest=line["rest_s"],
        part=plan.Part(part),
        rir=line["rir"],
    )
