"""Writes of what was done: entries from a phone, kept once and never lost."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from clients.models import BodyWeight, Client
from coaching.blocks.models import PlannedSession
from coaching.blocks.queries import with_plan
from coaching.blocks.snapshots import session_data
from coaching.library.models import Exercise
from coaching.rules.plan import WeekKind
from sessions.entries import BodyWeightEntry, EntryForm, SessionEntry, SetEntry
from sessions.errors import EntryError
from sessions.models import LoggedSession, LoggedSet


@dataclass(frozen=True, slots=True)
class Receipt:
    """What the phone gets back for an entry: its id, and the revision now stored."""

    uid: str
    revision: int


@transaction.atomic
def record_entry(*, client: Client, entry: Mapping[str, Any]) -> Receipt:
    """Keep one entry of a phone; the same entry sent twice is kept once.

    ``kind`` is ``set``, ``session`` or ``weight``. Raises EntryError with the field
    and the remedy when it cannot be kept; nothing is written then.
    """
    kinds = {"set": (SetEntry, record_set), "session": (SessionEntry, record_session)}
    if entry.get("kind") == "weight":
        return record_body_weight(client=client, data=_checked(BodyWeightEntry(entry)))
    if entry.get("kind") not in kinds:
        message = "Kind: an entry is a set, a session or a weight."
        raise EntryError(message)
    form, record = kinds[entry["kind"]]
    return record(client=client, data=_checked(form(entry)))


def _checked(form: EntryForm) -> dict[str, Any]:
    if not form.is_valid():
        field, errors = next(iter(form.errors.items()))
        message = f"{form.label_of(field)}: {errors[0]}"
        raise EntryError(message)
    return form.cleaned_data


def record_set(*, client: Client, data: Mapping[str, Any]) -> Receipt:
    """Keep one set, or its newer revision; an older revision changes nothing."""
    session = _session_for(client, data)
    row = LoggedSet.objects.select_for_update().filter(uid=data["uid"]).first()
    if row is not None and row.logged_session.client_id != client.pk:
        message = "Set: this entry belongs to somebody else; log it again."
        raise EntryError(message)
    if row is not None and row.revision >= data["revision"]:
        return Receipt(str(row.uid), row.revision)
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
    return Receipt(str(row.uid), row.revision)


def record_session(*, client: Client, data: Mapping[str, Any]) -> Receipt:
    """Keep what is said of a whole session: its effort, a word, its end, or why not."""
    session = _session_for(client, data)
    if session.revision >= data["revision"]:
        return Receipt(str(session.uid), session.revision)
    session.rpe = data["rpe"]
    session.note = data["note"]
    session.finished_at = data["finished_at"]
    session.skipped_reason = data["skipped_reason"]
    session.revision = data["revision"]
    session.save()
    return Receipt(str(session.uid), session.revision)


def record_body_weight(*, client: Client, data: Mapping[str, Any]) -> Receipt:
    """Keep the body weight of a day; a second one on that day replaces the first."""
    BodyWeight.objects.update_or_create(client=client, on=data["on"], defaults={"kg": data["kg"]})
    return Receipt(str(data["uid"]), data["revision"])


def _session_for(client: Client, data: Mapping[str, Any]) -> LoggedSession:
    """The logged session of an entry, begun with the first entry that names it.

    The plan may have changed since the phone fetched it: then the session is kept
    as it was done, with no planned session behind it.
    """
    found = LoggedSession.objects.filter(uid=data["session"]).first()
    planned = _planned_session(client, data["planned_session"])
    if found is None and planned is not None:
        found = LoggedSession.objects.filter(planned_session=planned).first()
    if found is not None:
        if found.client_id != client.pk:
            message = "Session: this entry belongs to somebody else; log it again."
            raise EntryError(message)
        return found
    return _begin(client, planned, data["session"], data["done_at"])


def _planned_session(client: Client, uid: UUID | None) -> PlannedSession | None:
    if uid is None:
        return None
    mine = PlannedSession.objects.filter(week__block__client=client, uid=uid)
    return with_plan(mine).first()


def _begin(
    client: Client, planned: PlannedSession | None, uid: UUID, at: datetime
) -> LoggedSession:
    newest = client.body_weights.order_by("-on").first()
    if planned is not None and planned.started_at is None:
        planned.started_at = at
        planned.save(update_fields=["started_at"])
    return LoggedSession.objects.create(
        uid=uid,
        client=client,
        planned_session=planned,
        on=local_day(client, at),
        name=planned.name if planned else "Unplanned session",
        kind=planned.week.kind if planned else WeekKind.BUILD.value,
        plan=[] if planned is None else [session_data(planned)],
        started_at=at,
        body_weight_kg=newest.kg if newest else None,
    )


def local_day(client: Client, at: datetime) -> date:
    """The date of a moment where the client lives."""
    return client.local_date(at)


def _exercise_for(client: Client, pk: int) -> Exercise:
    found = Exercise.objects.of_coach(client.coach).filter(pk=pk).first()
    if found is None:
        message = "Exercise: it is no longer in the library; choose another one."
        raise EntryError(message)
    return found
