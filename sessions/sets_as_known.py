"""Sets as they were known at a moment: without what came in later, and before later corrections."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID

from clients.models import Client
from sessions.models import Correction, LoggedSet, StatementKind
from sessions.set_rows import SetRow


def set_rows_known_by(
    clients: Iterable[Client], days: tuple[date, date], moment: datetime
) -> list[SetRow]:
    """The sets of those days that stood at a moment, in the order in which they were done; 2 queries."""
    before = _said_before(clients, days, moment)
    rows = LoggedSet.objects.filter(
        logged_session__client__in=clients,
        logged_session__on__range=days,
        logged_session__skipped_reason="",
        received_at__lte=moment,
    )
    found = []
    for row in rows.order_by("done_at", "pk"):
        said = before.get(row.uid)
        is_there = row.removed_at is None if said is None else not said["removed"]
        if is_there:
            found.append(_as_it_is(row) if said is None else _as_said(row, said))
    return found


def _said_before(
    clients: Iterable[Client], days: tuple[date, date], moment: datetime
) -> dict[UUID, Mapping[str, Any]]:
    """What stood of each set that was corrected after a moment: the first that was replaced since."""
    replaced = Correction.objects.filter(
        client__in=clients,
        logged_session__on__range=days,
        kind=StatementKind.SET,
        was_late=False,
        at__gt=moment,
    )
    found: dict[UUID, Mapping[str, Any]] = {}
    for uid, values in replaced.order_by("revision", "pk").values_list("entry_uid", "values"):
        found.setdefault(uid, values)
    return found


def _as_it_is(row: LoggedSet) -> SetRow:
    return SetRow(*(getattr(row, name) for name in SetRow._fields))


def _as_said(row: LoggedSet, said: Mapping[str, Any]) -> SetRow:
    prescription = said["prescription"]
    return SetRow(
        logged_session_id=row.logged_session_id,
        exercise_id=said["exercise"],
        prescription_uid=UUID(prescription) if prescription else None,
        number=said["number"],
        amount=said["amount"],
        load_kg=said["load"],
        target=said["target"],
        target_load_kg=said["target_load"],
        rir=said["rir"],
        pain=said["pain"],
        pain_where=said["pain_where"],
        note=said["note"],
        warm_up=said["warm_up"],
    )
