"""The logged session that an entry of a phone belongs to, begun with the first entry that names it."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import Min
from django.utils import timezone

from clients.models import Client
from clients.queries import body_weight_on
from coaching.blocks.models import PlannedSession
from coaching.blocks.queries import with_plan
from coaching.blocks.snapshots import session_data
from coaching.library.models import Exercise
from coaching.rules.plan import WeekKind
from sessions.errors import EntryError
from sessions.models import LoggedSession
from sessions.queries import kept_sets
from sessions.revisions import DAYS_OPEN_TO_CORRECT


def session_for(client: Client, data: Mapping[str, Any]) -> LoggedSession:
    """The logged session of an entry, locked until the entry is kept.

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
    if planned and found.planned_session is None:
        # The coach had taken the session out of the plan and put it back.
        found.planned_session = planned
        found.save(update_fields=["planned_session"])
    return found


def locked(session: LoggedSession) -> LoggedSession:
    """The same session, locked until the entry is kept."""
    rows = LoggedSession.objects.select_for_update(of=("self",)).select_related("planned_session")
    return rows.get(pk=session.pk)


def begin_anew(session: LoggedSession, client: Client, data: Mapping[str, Any]) -> None:
    """Let a session of which nothing was done or decided yet begin with this entry.

    Something was said of it before: an exercise swapped on an earlier day, a set taken back.
    """
    if session.finished_at or kept_sets().filter(logged_session=session).exists():
        return
    on = session.on if data["on"] == session.on else _day_of(client, data)
    for field, value in _as_begun(client, session.planned_session, data, on).items():
        setattr(session, field, value)
    session.save()


def mark_planned(session: LoggedSession) -> None:
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


def exercise_for(client: Client, pk: int) -> Exercise:
    """An exercise that the client's coach knows, retired or not."""
    found = Exercise.objects.of_coach(client.coach).filter(pk=pk).first()
    if found is None:
        message = "Exercise: it is no longer in the library; choose another one."
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
    on = _day_of(client, data)
    values = {"kind": WeekKind.BUILD.value, "name": data["session_name"] or "Unplanned session"}
    return LoggedSession.objects.create(
        uid=data["session"],
        client=client,
        planned_session=planned,
        **values | _as_begun(client, planned, data, on),
    )


def _as_begun(
    client: Client, planned: PlannedSession | None, data: Mapping[str, Any], on: date
) -> dict[str, Any]:
    """What a session takes from the entry with which it begins, and from the plan as it stands."""
    values: dict[str, Any] = {
        "on": on,
        "started_at": data["done_at"],
        "body_weight_kg": body_weight_on(client, on),
    }
    if planned is None:
        return values
    planned = with_plan(PlannedSession.objects.filter(pk=planned.pk)).get()
    kind, asked = planned.week.kind, [session_data(planned)]
    return values | {"name": planned.name, "kind": kind, "plan": asked}


def _day_of(client: Client, data: Mapping[str, Any]) -> date:
    """The day on which a session was done: as the client says, else by the clock of its entry.

    An entry may wait on a phone for weeks, so it counts from the day it is about, too.
    """
    by_clock = client.local_date(data["done_at"])
    on: date = data["on"] or by_clock
    today = client.local_date(timezone.now())
    if on > max(today, by_clock):
        message = "Day: it is still to come; choose the day on which the session was done."
        raise EntryError(message)
    if on < min(today, by_clock) - timedelta(days=DAYS_OPEN_TO_CORRECT):
        message = (
            f"Day: a session can be written down up to {DAYS_OPEN_TO_CORRECT} days later; "
            "choose a later day, or tell your coach about it."
        )
        raise EntryError(message)
    return on
