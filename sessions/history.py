"""Years of sessions at once: what an import or a demo practice brings along."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from clients.models import Client
from coaching.blocks.models import PlannedSession
from sessions.models import LoggedSession, LoggedSet


@dataclass(frozen=True, slots=True)
class HistorySet:
    """One set of a past session; ``amount`` is reps or seconds, ``load`` in [kg]."""

    uid: UUID
    exercise_id: int
    number: int
    amount: int
    done_at: datetime
    load: float = 0.0
    prescription_uid: UUID | None = None
    target: int | None = None
    target_load: float | None = None
    rir: int | None = None
    pain: int | None = None
    pain_where: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class HistorySession:
    """One past session with its sets; ``plan`` is what was asked for on that day."""

    uid: UUID
    on: date
    name: str
    kind: str
    started_at: datetime
    finished_at: datetime | None
    sets: tuple[HistorySet, ...]
    planned_uid: UUID | None = None
    plan: tuple[Any, ...] = ()
    rpe: float | None = None
    note: str = ""
    body_weight: float | None = None
    skipped_reason: str = ""


@transaction.atomic
def record_history(*, client: Client, sessions: Sequence[HistorySession]) -> int:
    """Keep past sessions of a client, all or none; returns the number of sets.

    About 6 queries for any number of sessions. The database refuses values out of
    range, and an id that is already known.
    """
    planned = {
        row.uid: row
        for row in PlannedSession.objects.filter(
            week__block__client=client, uid__in=[s.planned_uid for s in sessions if s.planned_uid]
        )
    }
    for item in sessions:
        if item.planned_uid in planned:
            planned[item.planned_uid].started_at = item.started_at
    PlannedSession.objects.bulk_update(planned.values(), ["started_at"], batch_size=500)
    made = LoggedSession.objects.bulk_create(
        (_session_row(client, item, planned) for item in sessions), batch_size=500
    )
    rows = [
        _set_row(row, one) for row, item in zip(made, sessions, strict=True) for one in item.sets
    ]
    LoggedSet.objects.bulk_create(rows, batch_size=1000)
    return len(rows)


def _session_row(
    client: Client, item: HistorySession, planned: dict[UUID, PlannedSession]
) -> LoggedSession:
    return LoggedSession(
        uid=item.uid,
        client=client,
        planned_session=planned.get(item.planned_uid) if item.planned_uid else None,
        on=item.on,
        name=item.name,
        kind=item.kind,
        plan=list(item.plan),
        started_at=item.started_at,
        finished_at=item.finished_at,
        skipped_reason=item.skipped_reason,
        rpe=item.rpe,
        note=item.note,
        body_weight_kg=item.body_weight,
        revision=1,
    )


def _set_row(session: LoggedSession, one: HistorySet) -> LoggedSet:
    return LoggedSet(
        uid=one.uid,
        logged_session=session,
        exercise_id=one.exercise_id,
        prescription_uid=one.prescription_uid,
        number=one.number,
        amount=one.amount,
        load_kg=one.load,
        rir=one.rir,
        pain=one.pain,
        pain_where=one.pain_where,
        note=one.note,
        target=one.target,
        target_load_kg=one.target_load,
        done_at=one.done_at,
        # It was known then, wherever it was written down.
        received_at=one.done_at,
        revision=1,
    )
