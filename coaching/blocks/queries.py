"""Reads of blocks; rows become the values that the rules work on."""

from collections.abc import Iterable, Sequence
from datetime import date

from django.db.models import Prefetch, QuerySet

from clients.models import Client, User
from coaching.blocks.models import Block, BlockTemplate, Pair, PlannedSession, Prescription, Week
from coaching.library.models import MovementGoal
from coaching.library.queries import exercise_values
from coaching.rules import plan


def with_plan(sessions: QuerySet[PlannedSession]) -> QuerySet[PlannedSession]:
    """Planned sessions with weeks, pairs and prescriptions; 2 queries more."""
    prescriptions = Prescription.objects.select_related("exercise")
    pairs = Pair.objects.prefetch_related(Prefetch("prescriptions", queryset=prescriptions))
    return sessions.select_related("week", "week__block").prefetch_related(
        Prefetch("pairs", queryset=pairs)
    )


def published_sessions(
    clients: Iterable[Client | int], start: date, end: date
) -> QuerySet[PlannedSession]:
    """Published planned sessions of those clients from start to end, both included."""
    return PlannedSession.objects.filter(
        week__block__client__in=list(clients),
        week__block__published_at__isnull=False,
        on__range=(start, end),
    ).order_by("on", "position")


def templates_for(coach: User) -> QuerySet[BlockTemplate]:
    """The shared templates and the coach's own, without those removed."""
    return BlockTemplate.objects.offered_to(coach)


def goal_keys(client: Client) -> frozenset[str]:
    """Keys of the exercises that the client's open movement goals stand on; 1 query.

    All rungs of a goal's ladder count: who works toward the last rung trains the
    rungs before it.
    """
    goals = MovementGoal.objects.filter(client=client, reached_on__isnull=True)
    rows = goals.values_list("exercise__key", "exercise__ladder__exercises__key")
    return frozenset(key for row in rows for key in row if key)


def prescription_value(row: Prescription, part: str, exercise: plan.Exercise) -> plan.Prescription:
    """The rules' value of a prescription row."""
    return plan.Prescription(
        key=str(row.uid),
        exercise=exercise,
        targets=tuple(row.targets),
        load=float(row.load_kg),
        tempo=plan.Tempo.parse(row.tempo),
        rest=row.rest_s,
        part=plan.Part(part),
        rir=row.rir,
    )


def session_values(rows: Sequence[PlannedSession]) -> dict[int, plan.PlannedSession]:
    """Values of planned sessions fetched by ``with_plan``, by row id; 1 query."""
    used = {
        p.exercise_id for row in rows for pair in row.pairs.all() for p in pair.prescriptions.all()
    }
    exercises = exercise_values(used)
    return {row.pk: _session_value(row, exercises) for row in rows}


def _session_value(row: PlannedSession, exercises: dict[int, plan.Exercise]) -> plan.PlannedSession:
    pairs = tuple(
        plan.Pair(
            letter=pair.letter,
            part=plan.Part(pair.part),
            prescriptions=tuple(
                prescription_value(p, pair.part, exercises[p.exercise_id])
                for p in pair.prescriptions.all()
            ),
        )
        for pair in row.pairs.all()
        if pair.prescriptions.all()
    )
    return plan.PlannedSession(key=str(row.uid), name=row.name, on=row.on, pairs=pairs)


def block_value(block: Block) -> plan.Block:
    """The rules' value of a whole block; 5 queries, whatever its size."""
    weeks = list(Week.objects.filter(block=block).order_by("number"))
    rows = list(
        with_plan(PlannedSession.objects.filter(week__block=block).order_by("on", "position"))
    )
    sessions = session_values(rows)
    return plan.Block(
        name=block.name,
        weeks=tuple(
            plan.PlannedWeek(
                number=week.number,
                kind=plan.WeekKind(week.kind),
                starts_on=week.starts_on,
                sessions=tuple(sessions[row.pk] for row in rows if row.week_id == week.pk),
            )
            for week in weeks
        ),
    )


def week_value(week: Week) -> plan.PlannedWeek:
    """The rules' value of one week; 4 queries."""
    rows = list(with_plan(PlannedSession.objects.filter(week=week).order_by("on", "position")))
    sessions = session_values(rows)
    return plan.PlannedWeek(
        number=week.number,
        kind=plan.WeekKind(week.kind),
        starts_on=week.starts_on,
        sessions=tuple(sessions[row.pk] for row in rows),
    )
