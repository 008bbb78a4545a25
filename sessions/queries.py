"""Reads of what was done; rows become the values that the rules work on."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from django.db.models import OuterRef, Prefetch, QuerySet, Subquery

from clients.models import BodyWeight, Client
from coaching.blocks.queries import published_sessions
from coaching.rules import log
from coaching.rules.numbers import BODY_WEIGHT_UNKNOWN
from sessions.models import LoggedSession, LoggedSet

# Pages say so where it is used.
UNKNOWN_BODY_WEIGHT = BODY_WEIGHT_UNKNOWN.value


def week_start(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def is_history(week_starts_on: date, today: date) -> bool:
    """Whether a week is longer ago than the last one, so that the plan no longer rests on it."""
    return week_starts_on < week_start(today) - timedelta(days=7)


def kept_sets() -> QuerySet[LoggedSet]:
    """Logged sets that were not taken back, in the order in which they were done."""
    return LoggedSet.objects.filter(removed_at__isnull=True).order_by("done_at", "pk")


def sessions_with_sets(
    clients: Iterable[Client | int], start: date, end: date
) -> QuerySet[LoggedSession]:
    """Sessions logged from start to end, both included, with their sets; 2 queries."""
    return (
        LoggedSession.objects.filter(
            client__in=list(clients), on__range=(start, end), skipped_reason=""
        )
        .order_by("on", "started_at")
        .prefetch_related(Prefetch("sets", queryset=kept_sets()))
    )


def latest_body_weights(clients: Iterable[Client | int]) -> dict[int, float]:
    """The newest body weight of each client [kg]; 1 query."""
    newest = BodyWeight.objects.filter(client=OuterRef("client")).order_by("-on").values("pk")[:1]
    rows = BodyWeight.objects.filter(client__in=list(clients), pk=Subquery(newest))
    return {row.client_id: float(row.kg) for row in rows}


def attendance_of(
    clients: Sequence[Client], start: date, end: date
) -> dict[int, tuple[log.Attendance, ...]]:
    """What became of each published planned session from start to end; 1 query."""
    rows = published_sessions(clients, start, end).values_list(
        "week__block__client_id",
        "on",
        "name",
        "started_at",
        "logged_session__skipped_reason",
    )
    found: dict[int, list[log.Attendance]] = defaultdict(list)
    for client_id, on, name, started_at, skipped in rows:
        done = started_at is not None and not skipped
        found[client_id].append(log.Attendance(on, name, done, skipped or ""))
    return {client: tuple(items) for client, items in found.items()}
