"""Writes of what was done: entries from a phone, kept once and never lost."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Min
from django.utils import timezone

from clients.models import BodyWeight, Client
from clients.queries import body_weight_on
from coaching.blocks.models import PlannedSession
from coaching.blocks.queries import with_plan
from coaching.blocks.snapshots import session_data
from coaching.library.models import Exercise
from coaching.rules.plan import WeekKind
from sessions.entries import checked
from sessions.errors import EntryError
from sessions.models import LoggedSession, LoggedSet
from sessions.queries import kept_sets


@dataclass(frozen=True, slots=True)
class Receipt:
    """What the phone gets back for an entry: its id, and the revision now stored."""

    uid: str
    revision: int


def record_entry(*, client: Client, entry: Mapping[str, Any]) -> Receipt:
    """Keep one entry of a phone in one transaction; sent twice, it is kept once.

    ``kind`` is ``set``, ``session`` or ``weight``. Raises EntryError with the field
    and the remedy when it cannot be kept; nothing is written then.
    """
    kind, data = checked(entry)
    record = _RECORDERS[kind]
    try:
        with transaction.atomic():
            return record(client=client, data=data)
    except IntegrityError:
        # The same entry, or another first one of its session, was kept in this very
        # moment by another request. It is in the database now, so this time it is found.
        with transaction.atomic():
            return record(client=client, data=data)


def record_set(*, client: Client, data: Mapping[str, Any]) -> Receipt:
    """Keep one set, or its newer revision; an older revision changes nothing."""
    row = (
        LoggedSet.objects.select_for_update(of=("self",))
        .select_related("logged_session")
        .filter(uid=data["uid"])
        .first()
    )
    if row is not None and row.logged_session.client_id != client.pk:
        message = "Set: this entry belongs to somebody else; log it again."
        raise EntryError(message)
    if row is not None and row.revision >= data["revision"]:
        return Receipt(str(row.uid), row.revision)
    session = row.logged_session if row is not None else _session_for(client, data)
    row = row or LoggedSet(uid=data["uid"], logged_session=session)
    row.exercise = _exercise_for(client, data["exercise"])
    for field in ("number", "amount", "rir", "pain", "pain_where", "note", "warm_up", "done_at"):
        setattr(row, field, data[field])
    row.load_kg = data["load"] or 0
    row.target, row.target_load_kg = data["target"], data["target_load"]
    row.prescription_uid = data["prescription"]
    row.revision = data["revision"]
    row.removed_at = timezone.now() if data["removed"] else None
    row.save()
    if session.skipped_reason and not data["removed"]:
        # Somebody trained after all, on this phone or another: the set is the evidence.
        session.skipped_reason = ""
        session.save(update_fields=["skipped_reason"])
    _mark_planned(session)
    return Receipt(str(row.uid), row.revision)


def record_session(*, client: Client, data: Mapping[str, Any]) -> Receipt:
    """Keep what is said of a whole session: its effort, a word, its end, or why not."""
    session = _session_for(client, data)
    if session.revision >= data["revision"]:
        return Receipt(str(data["uid"]), session.revision)
    if data["skipped_reason"] and kept_sets().filter(logged_session=session).exists():
        message = "Skip: sets of this session are already logged; finish it instead."
        raise EntryError(message)
    session.rpe = data["rpe"]
    session.note = data["note"]
    session.finished_at = data["finished_at"]
    session.skipped_reason = data["skipped_reason"]
    session.revision = data["revision"]
    session.save()
    _mark_planned(session)
    return Receipt(str(data["uid"]), session.revision)


def record_body_weight(*, client: Client, data: Mapping[str, Any]) -> Receipt:
    """Keep the body weight of a day; a second one on that day replaces the first."""
    BodyWeight.objects.update_or_create(client=client, on=data["on"], defaults={"kg": data["kg"]})
    LoggedSession.objects.filter(client=client, on=data["on"]).update(body_weight_kg=data["kg"])
    return Receipt(str(data["uid"]), data["revision"])


_RECORDERS: Mapping[str, Callable[..., Receipt]] = {
    "set": record_set,
    "session": record_session,
    "weight": record_body_weight,
}


def _mark_planned(session: LoggedSession) -> None:
    """Let the planned session say whether it was begun: by a kept set, an end or a skip.

    From then on no new plan changes it; taking back its only set opens it again.
    """
    planned = session.planned_session
    if planned is None:
        return
    first: datetime | None = (
        kept_sets().filter(logged_session=session).aggregate(first=Min("done_at"))["first"]
    )
    if first is None and (session.finished_at or session.skipped_reason):
        first = session.started_at
    if planned.started_at != first:
        planned.started_at = first
        planned.save(update_fields=["started_at"])


def _session_for(client: Client, data: Mapping[str, Any]) -> LoggedSession:
    """The logged session of an entry, begun with the first entry that names it.

    The plan may have changed since the phone fetched it: then the session is kept
    as it was done, with no planned session behind it.
    """
    planned = _planned_session(client, (data["planned_session"], data["session"]))
    of_client = LoggedSession.objects.select_for_update(of=("self",)).select_related(
        "planned_session"
    )
    found = of_client.filter(planned_session=planned).first() if planned else None
    found = found or of_client.filter(uid=data["session"]).first()
    if found is None:
        return _begin(client, planned, data)
    if found.client_id != client.pk:
        message = "Session: this entry belongs to somebody else; log it again."
        raise EntryError(message)
    return found


def _planned_session(client: Client, uids: tuple[UUID | None, UUID]) -> PlannedSession | None:
    """The planned session that one of the ids names; somebody else's is refused."""
    wanted = [uid for uid in uids if uid]
    rows = PlannedSession.objects.filter(uid__in=wanted).select_related("week__block")
    found = rows.first()
    if found is not None and found.week.block.client_id != client.pk:
        message = "Session: this plan belongs to somebody else; open Today again."
        raise EntryError(message)
    return found


def _begin(
    client: Client, planned: PlannedSession | None, data: Mapping[str, Any]
) -> LoggedSession:
    at = data["done_at"]
    on = client.local_date(at)
    if planned is not None:
        planned = with_plan(PlannedSession.objects.filter(pk=planned.pk)).get()
    return LoggedSession.objects.create(
        uid=data["session"],
        client=client,
        planned_session=planned,
        on=on,
        name=planned.name if planned else data["session_name"] or "Unplanned session",
        kind=planned.week.kind if planned else WeekKind.BUILD.value,
        plan=[] if planned is None else [session_data(planned)],
        started_at=at,
        body_weight_kg=body_weight_on(client, on),
    )


def _exercise_for(client: Client, pk: int) -> Exercise:
    found = Exercise.objects.of_coach(client.coach).filter(pk=pk).first()
    if found is None:
        message = "Exercise: it is no longer in the library; choose another one."
        raise EntryError(message)
    return found
