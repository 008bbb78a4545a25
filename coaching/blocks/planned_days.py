"""On which days a client has a published plan already, and the first day after it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Max

from clients.models import Client
from coaching.blocks.models import Block, Week

FURTHEST_AHEAD = timedelta(days=366)
"""A block starts within a year; later is a slip of the pen."""


def start_fault(day: date, today: date) -> str:
    """Why a block cannot start on a day, in words; empty when it can."""
    if day < today:
        return f"A block can start today ({today:%-d %b}) at the earliest."
    if day > today + FURTHEST_AHEAD:
        return f"Choose {today + FURTHEST_AHEAD:%-d %b %Y} or earlier."
    return ""


@dataclass(frozen=True)
class PlannedSpan:
    """One published week: its block, its days, the last day with a session."""

    block: str
    starts_on: date
    last_session: date

    @property
    def ends_on(self) -> date:
        """The last day of the week, as a block tells it."""
        return self.free_from - timedelta(days=1)

    @property
    def free_from(self) -> date:
        """The first day after the week."""
        return max(self.starts_on + timedelta(weeks=1), self.last_session + timedelta(days=1))


def next_monday(today: date) -> date:
    """The coming Monday, or today when it is one."""
    return today + timedelta(days=-today.weekday() % 7)


def planned_spans(client: Client, today: date) -> tuple[PlannedSpan, ...]:
    """The client's published weeks with sessions from a day on, in order; 1 query."""
    weeks = Week.objects.filter(block__client=client, block__published_at__isnull=False)
    rows = weeks.annotate(last=Max("planned_sessions__on")).filter(last__gte=today)
    values = rows.order_by("last").values_list("block__number", "block__name", "starts_on", "last")
    return tuple(
        PlannedSpan(f"Block {number}, {name}", starts_on, last)
        for number, name, starts_on, last in values
    )


def first_free_day(spans: Sequence[PlannedSpan], earliest: date) -> date:
    """The first day with nothing planned on it or after it, not before another day."""
    return max([earliest, *(one.free_from for one in spans)])


def taken_by(spans: Sequence[PlannedSpan], first: date, last: date) -> str:
    """Why a plan from one day to another meets what is planned; empty when it does not."""
    met = [one for one in spans if one.starts_on <= last and one.last_session >= first]
    if not met:
        return ""
    free = max(one.free_from for one in spans)
    until = max(one.last_session for one in met)
    return (
        f"{met[0].block}, plans sessions until {_day(until)}: choose {_day(free)} or later, "
        "or remove those weeks from it first."
    )


def waiting_draft(client: Client) -> str:
    """The newest draft that the client has already, in words; empty without one; 1 query."""
    draft = Block.objects.filter(client=client, published_at__isnull=True).order_by("number").last()
    return "" if draft is None else f"Block {draft.number}, {draft.name}, is a draft already"


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
