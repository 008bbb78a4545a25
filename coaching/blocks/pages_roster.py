"""What the roster shows: who trains with the coach, in which block and week."""

import unicodedata
import zoneinfo
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import (
    Case,
    CharField,
    Count,
    DateField,
    Exists,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Value,
    When,
)
from django.db.models.functions import Coalesce

from clients.models import Client, SignInLink, User
from coaching.blocks.models import Block, PlannedSession, Week
from coaching.blocks.needed_equipment import BlockNeeds, kinds_of, running_needs
from coaching.blocks.words import week_kind_text
from coaching.rules.plan import WeekKind


@dataclass(frozen=True)
class Where:
    """The block and week of a client in words; ``kind`` is told unless it is a usual week."""

    words: str
    kind: str = ""
    is_running: bool = False


@dataclass(frozen=True)
class RosterRow:
    """One client on the roster."""

    pk: int
    name: str
    level: str
    minutes: int
    where: Where
    next_on: date | None
    next_name: str
    account: str
    is_screened: bool
    left_on: date | None
    lacking: tuple[BlockNeeds, ...] = ()
    """What the sessions to come need and the client lacks."""


@dataclass(frozen=True)
class RosterPage:
    """The clients that were asked for, and how many there are of each kind."""

    rows: tuple[RosterRow, ...]
    shows_left: bool
    search: str
    active_count: int
    left_count: int
    running_count: int


def roster_page(
    coach: User, now: datetime, *, shows_left: bool = False, search: str = ""
) -> RosterPage:
    """The roster of a coach by name; 6 queries, whatever its size.

    Names are searched and sorted here and not by the database, so that accents and capitals
    count the same on every one.
    """
    mine = Client.objects.filter(coach=coach)
    counts = mine.aggregate(
        active=Count("pk", filter=Q(archived_at__isnull=True)),
        left=Count("pk", filter=Q(archived_at__isnull=False)),
    )
    found = mine.filter(archived_at__isnull=not shows_left)
    rows = _rows(list(_with_plan(found, now)))
    wanted = folded(search)
    return RosterPage(
        rows=tuple(row for row in rows if wanted in folded(row.name)),
        shows_left=shows_left,
        search=search,
        active_count=counts["active"],
        left_count=counts["left"],
        running_count=sum(row.where.is_running for row in rows),
    )


def folded(name: str) -> str:
    """A name without capitals, accents and outer spaces, as it is searched and sorted.

    >>> folded(" Zoë Ångström ")
    'zoe angstrom'
    """
    letters = unicodedata.normalize("NFKD", name.strip().casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


def _with_plan(clients: QuerySet[Client], now: datetime) -> QuerySet[Client, dict[str, Any]]:
    begun = _published().filter(weeks__starts_on__lte=OuterRef("today")).order_by("-number")
    coming = _published().order_by("number")
    sessions = PlannedSession.objects.filter(
        week__block__client=OuterRef("pk"),
        week__block__published_at__isnull=False,
        on__gte=OuterRef("today"),
        started_at__isnull=True,
    ).order_by("on", "position")
    links = SignInLink.objects.filter(user=OuterRef("user"), expires_at__gt=now)
    rows: QuerySet[Client, dict[str, Any]] = (
        clients.annotate(today=_today_column(clients, now))
        .annotate(
            block_id=Coalesce(Subquery(begun.values("pk")[:1]), Subquery(coming.values("pk")[:1])),
            next_on=Subquery(sessions.values("on")[:1]),
            next_name=Subquery(sessions.values("name")[:1], output_field=CharField()),
            has_link=Exists(links),
        )
        .values(
            *("pk", "name", "level", "minutes", "screened_on", "archived_at", "today", "block_id"),
            *("next_on", "next_name", "has_link", "user_id", "user__last_login"),
        )
    )
    return rows


def _published() -> QuerySet[Block]:
    return Block.objects.filter(client=OuterRef("pk"), published_at__isnull=False)


def _today_column(clients: QuerySet[Client], now: datetime) -> Case:
    # "Today" is each client's own. As a column it lets one query serve all time zones.
    zones = clients.order_by().values_list("time_zone", flat=True).distinct()
    by_day: dict[date, list[str]] = defaultdict(list)
    for zone in zones:
        by_day[now.astimezone(zoneinfo.ZoneInfo(zone)).date()].append(zone)
    days = [When(time_zone__in=names, then=Value(day)) for day, names in by_day.items()]
    return Case(*days, default=Value(now.date()), output_field=DateField())


def _rows(found: Sequence[dict[str, Any]]) -> list[RosterRow]:
    blocks = {client["block_id"] for client in found if client["block_id"]}
    weeks: dict[int, list[Week]] = defaultdict(list)
    for week in Week.objects.filter(block__in=blocks).select_related("block").order_by("number"):
        weeks[week.block_id].append(week)
    lacking = _lacking(found)
    rows = [_row(one, weeks.get(one["block_id"], []), lacking.get(one["pk"], ())) for one in found]
    return sorted(rows, key=lambda row: (folded(row.name), row.pk))


def _lacking(found: Sequence[dict[str, Any]]) -> dict[int, tuple[BlockNeeds, ...]]:
    """What running blocks need and is not there, by client in training; 2 queries."""
    days = {one["pk"]: one["today"] for one in found if one["archived_at"] is None}
    if not days:
        return {}
    return running_needs(days, kinds_of(days), min(days.values()))


def _row(
    client: dict[str, Any], weeks: Sequence[Week], lacking: tuple[BlockNeeds, ...]
) -> RosterRow:
    left = client["archived_at"]
    return RosterRow(
        pk=client["pk"],
        name=client["name"],
        level=client["level"],
        minutes=client["minutes"],
        where=where_in(weeks, client["today"]),
        next_on=client["next_on"],
        next_name=client["next_name"] or "",
        account=_account(client),
        is_screened=client["screened_on"] is not None,
        left_on=left.date() if left else None,
        lacking=lacking,
    )


def where_in(weeks: Sequence[Week], today: date) -> Where:
    """Where a client stands in a block whose weeks are given in order."""
    if not weeks:
        return Where("no block yet")
    block = f"block {weeks[0].block.number}"
    begun = [week for week in weeks if week.starts_on <= today]
    if not begun:
        return Where(f"{block} starts {_day(weeks[0].starts_on)}")
    week = max(begun, key=lambda one: one.starts_on)
    end = week.starts_on + timedelta(days=6)
    if week is weeks[-1] and end < today:
        return Where(f"{block} ended {_day(end)}")
    kind = "" if week.kind == WeekKind.BUILD else week_kind_text(week.kind)
    return Where(f"{block}, week {week.number} of {len(weeks)}", kind, is_running=True)


def _day(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b}"


def _account(client: dict[str, Any]) -> str:
    if client["user_id"] is None:
        return "none"
    if client["user__last_login"]:
        return "has signed in"
    return "link not used yet" if client["has_link"] else "needs a link"
