"""What the floor needs: who trains today, and one column for each client who trains now."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlencode

from django.urls import reverse

from clients.models import Client, User
from clients.queries import clients_of
from coaching.blocks.models import PlannedSession
from coaching.blocks.queries import published_sessions
from sessions.models import LoggedSession

MOST = 6


@dataclass(frozen=True)
class FloorClient:
    """One client to choose, with the session of their day."""

    pk: int
    name: str
    session: str
    is_chosen: bool


@dataclass(frozen=True)
class Column:
    """One client's Today, and the address of the floor without it."""

    pk: int
    name: str
    url: str
    without: str


@dataclass(frozen=True)
class FloorPage:
    """Everything that the floor shows."""

    clients: tuple[FloorClient, ...]
    columns: tuple[Column, ...]
    left_out: int
    most: int = MOST


def floor_url(clients: Sequence[int]) -> str:
    """The floor with these clients; with nobody it asks whom."""
    query = [("client", pk) for pk in clients] or [("choose", 1)]
    return f"{reverse('sessions:floor')}?{urlencode(query)}"


def floor_page(coach: User, chosen: Sequence[Client], now: datetime) -> FloorPage:
    """Those with a session today first, then by name; 2 queries."""
    shown = chosen[:MOST]
    ids = [client.pk for client in shown]
    clients = list(clients_of(coach))
    of_today = _sessions_of_today(clients, now)
    rows = [
        FloorClient(
            pk=client.pk,
            name=client.name,
            session=", ".join(_session_words(row) for row in of_today.get(client.pk, ())),
            is_chosen=client.pk in ids,
        )
        for client in clients
    ]
    return FloorPage(
        clients=tuple(sorted(rows, key=lambda row: not row.session)),
        columns=tuple(_column(client, ids) for client in shown),
        left_out=len(chosen) - len(shown),
    )


def _column(client: Client, ids: Sequence[int]) -> Column:
    return Column(
        pk=client.pk,
        name=client.name,
        url=reverse("sessions:today-for", args=[client.pk]),
        without=floor_url([pk for pk in ids if pk != client.pk]),
    )


def _sessions_of_today(clients: Sequence[Client], now: datetime) -> dict[int, list[PlannedSession]]:
    """The published sessions of each client's own day; 1 query."""
    days = {client.pk: client.local_date(now) for client in clients}
    if not days:
        return {}
    rows = published_sessions(clients, min(days.values()), max(days.values()))
    found: dict[int, list[PlannedSession]] = {}
    for row in rows.select_related("week__block", "logged_session"):
        client_id = row.week.block.client_id
        if row.on == days[client_id]:
            found.setdefault(client_id, []).append(row)
    return found


def _session_words(row: PlannedSession) -> str:
    logged: LoggedSession | None = getattr(row, "logged_session", None)
    if logged is None:
        return row.name
    if logged.skipped_reason:
        return f"{row.name}, skipped"
    return f"{row.name}, {'done' if logged.finished_at else 'begun'}"
