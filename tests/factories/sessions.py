"""Logged sessions for tests: a planned session as somebody did it."""

from collections.abc import Mapping
from datetime import UTC, datetime, time, timedelta
from uuid import uuid4

from clients.models import Client
from coaching.blocks.models import PlannedSession, Prescription
from coaching.blocks.queries import with_plan
from coaching.blocks.snapshots import session_data
from sessions.history import HistorySession, HistorySet, record_history
from sessions.models import LoggedSession


def log_session(
    client: Client,
    planned: PlannedSession,
    *,
    drop: int = 0,
    rir: int | None = 2,
    rpe: float | None = 7,
    pain: Mapping[int, int] | None = None,
    amounts: Mapping[int, tuple[int, ...]] | None = None,
    note: str = "",
    skipped_reason: str = "",
) -> LoggedSession:
    """Log a planned session: every set ``drop`` below its target, or as said.

    ``pain`` (0-10) and ``amounts`` are by the exercise's row id.
    """
    row = with_plan(PlannedSession.objects.filter(pk=planned.pk)).get()
    at = datetime.combine(row.on, time(17), tzinfo=UTC)
    sets = () if skipped_reason else tuple(_sets(row, at, drop, rir, pain or {}, amounts or {}))
    item = HistorySession(
        uid=uuid4(),
        on=row.on,
        name=row.name,
        kind=row.week.kind,
        started_at=at,
        finished_at=None if skipped_reason else at + timedelta(hours=1),
        sets=sets,
        planned_uid=row.uid,
        plan=(session_data(row),),
        rpe=None if skipped_reason else rpe,
        note=note,
        skipped_reason=skipped_reason,
    )
    record_history(client=client, sessions=[item])
    return LoggedSession.objects.get(uid=item.uid)


def _sets(row, at, drop, rir, pain, amounts):
    lines = [p for pair in row.pairs.all() for p in pair.prescriptions.all()]
    for place, p in enumerate(lines):
        done = amounts.get(p.exercise_id) or _done(p, drop)
        for number, (amount, target) in enumerate(zip(done, p.targets, strict=True), start=1):
            yield HistorySet(
                uid=uuid4(),
                exercise_id=p.exercise_id,
                number=number,
                amount=amount,
                done_at=at + timedelta(minutes=8 * place + number),
                load=float(p.load_kg),
                prescription_uid=p.uid,
                target=target,
                target_load=float(p.load_kg),
                rir=0 if amount < target else rir,
                pain=pain.get(p.exercise_id),
            )


def _done(prescription: Prescription, drop: int) -> tuple[int, ...]:
    return tuple(max(0, target - drop) for target in prescription.targets)


def log_week(client: Client, week_starts_on, **how) -> list[LoggedSession]:
    """Log every published session of a client in a calendar week."""
    rows = PlannedSession.objects.filter(
        week__block__client=client,
        week__block__published_at__isnull=False,
        on__range=(week_starts_on, week_starts_on + timedelta(days=6)),
    )
    return [log_session(client, row, **how) for row in rows.order_by("on", "position")]
