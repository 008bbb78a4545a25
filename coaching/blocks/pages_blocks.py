"""What the list of blocks shows: each client's running block, and drafts."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from clients.models import User
from coaching.blocks.models import Block
from coaching.blocks.pages_roster import folded
from coaching.blocks.words import week_kind_text


@dataclass(frozen=True)
class BlockRow:
    """One block in the list."""

    pk: int
    client_id: int
    client: str
    number: int
    name: str
    where: str
    kind: str
    ends_on: date
    state: str


@dataclass(frozen=True)
class BlocksPage:
    """The blocks that were asked for."""

    rows: tuple[BlockRow, ...]
    search: str
    total: int


def blocks_page(coach: User, now: datetime, *, search: str = "") -> BlocksPage:
    """Blocks that run, are drafts or are still to come, by client; 2 queries."""
    blocks = (
        Block.objects.filter(client__coach=coach, client__archived_at__isnull=True)
        .select_related("client")
        .prefetch_related("weeks")
    )
    rows = [row for block in blocks if (row := _row(block, block.client.local_date(now)))]
    rows.sort(key=lambda row: (folded(row.client), row.number))
    wanted = folded(search)
    shown = tuple(row for row in rows if wanted in folded(f"{row.client} {row.name}"))
    return BlocksPage(rows=shown, search=search, total=len(rows))


def _row(block: Block, today: date) -> BlockRow | None:
    weeks = sorted(block.weeks.all(), key=lambda week: week.starts_on)
    if not weeks:
        return None
    ends_on = weeks[-1].starts_on + timedelta(days=6)
    if block.published_at is not None and ends_on < today:
        return None
    begun = [week for week in weeks if week.starts_on <= today]
    state = "published" if block.published_at else "draft"
    if begun:
        where, kind = f"week {begun[-1].number} of {len(weeks)}", begun[-1].kind
    else:
        start = weeks[0].starts_on
        where, kind = f"starts {start:%a} {start.day} {start:%b}", ""
    return BlockRow(
        pk=block.pk,
        client_id=block.client_id,
        client=block.client.name,
        number=block.number,
        name=block.name,
        where=where,
        kind="" if kind == "build" else week_kind_text(kind),
        ends_on=ends_on,
        state=state,
    )
