"""What the list of blocks shows: drafts, the newest first, and each client's running block."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone

from clients.models import User
from coaching.blocks.models import Block, Week
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
    is_draft: bool
    made_at: datetime
    made: str
    """When it was made, in words: today, 14:05."""
    is_new: bool
    """Whether it is one of those that were just made."""
    is_late: bool
    """Whether it is a draft whose first day has gone by."""
    is_to_come: bool
    """Whether it is published and has not begun."""


@dataclass(frozen=True)
class BlocksPage:
    """The blocks that were asked for: drafts, and what clients see."""

    drafts: tuple[BlockRow, ...]
    rows: tuple[BlockRow, ...]
    search: str
    new: tuple[int, ...]
    """The row ids of the drafts that were just made."""

    @property
    def count(self) -> int:
        """How many blocks are listed."""
        return len(self.drafts) + len(self.rows)


def blocks_page(
    coach: User, now: datetime, *, search: str = "", new: Collection[int] = ()
) -> BlocksPage:
    """Drafts, the newest first, and blocks that run or are still to come, by client; 2 queries."""
    blocks = (
        Block.objects.filter(client__coach=coach, client__archived_at__isnull=True)
        .select_related("client")
        .prefetch_related("weeks")
    )
    rows = [row for block in blocks if (row := _row(block, now, is_new=block.pk in new))]
    wanted = folded(search)
    shown = [row for row in rows if wanted in folded(f"{row.client} {row.name}")]
    shown.sort(key=lambda row: (folded(row.client), row.number))
    drafts = sorted((row for row in shown if row.is_draft), key=_newest_first)
    return BlocksPage(
        drafts=tuple(drafts),
        rows=tuple(row for row in shown if not row.is_draft),
        search=search,
        new=tuple(row.pk for row in rows if row.is_new),
    )


def _newest_first(row: BlockRow) -> tuple[bool, float]:
    """Those just made first, as they were made together, by client."""
    return (not row.is_new, 0 if row.is_new else -row.made_at.timestamp())


def _row(block: Block, now: datetime, *, is_new: bool) -> BlockRow | None:
    today = block.client.local_date(now)
    weeks = sorted(block.weeks.all(), key=lambda week: week.starts_on)
    if not weeks:
        return None
    ends_on = weeks[-1].starts_on + timedelta(days=6)
    is_draft = block.published_at is None
    if not is_draft and ends_on < today:
        return None
    is_late = is_draft and weeks[0].starts_on < today
    begun = [] if is_draft else [week for week in weeks if week.starts_on <= today]
    kind = begun[-1].kind if begun else ""
    return BlockRow(
        pk=block.pk,
        client_id=block.client_id,
        client=block.client.name,
        number=block.number,
        name=block.name,
        where=_where(begun, weeks, is_late=is_late),
        kind="" if kind == "build" else week_kind_text(kind),
        ends_on=ends_on,
        is_draft=is_draft,
        made_at=block.created_at,
        made=_made(block.created_at, now),
        is_new=is_draft and is_new,
        is_late=is_late,
        is_to_come=not is_draft and not begun,
    )


def _where(begun: list[Week], weeks: list[Week], *, is_late: bool) -> str:
    if begun:
        return f"week {begun[-1].number} of {len(weeks)}"
    start = _day(weeks[0].starts_on)
    return f"was to start {start}" if is_late else start


def _made(at: datetime, now: datetime) -> str:
    made = timezone.localtime(at)
    if made.date() == timezone.localtime(now).date():
        return f"today, {made:%H:%M}"
    return _day(made.date())


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
