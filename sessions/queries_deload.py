"""Reads for a light week: which usual week it is made from, and whether one is in the plan."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Max

from clients.models import Client
from coaching.blocks.models import Block, PlannedSession, Week
from coaching.rules.numbers import DELOAD_DAYS_LONGEST
from coaching.rules.plan import WeekKind
from sessions.models import Decision, DecisionKind, LoggedSession

_WEEK = timedelta(days=7)
_LOOK_BACK = timedelta(weeks=12)


@dataclass(frozen=True)
class UsualWeek:
    """The usual week that a light week is made from, and the block it goes into."""

    block: Block
    week: Week
    running: Week | None
    """The week that the first day of the light week falls into, none after the last one."""


def published_weeks(client: Client, since: date) -> list[Week]:
    """The client's published weeks of the last months and all to come, in order; 1 query.

    Each says its last day with a session as ``last_on``, none when it holds none.
    """
    rows = Week.objects.filter(
        block__client=client, block__published_at__isnull=False, starts_on__gte=since - _LOOK_BACK
    )
    rows = rows.select_related("block").annotate(last_on=Max("planned_sessions__on"))
    return list(rows.order_by("starts_on"))


def week_on(weeks: Sequence[Week], day: date) -> Week | None:
    """The week that a day falls into, none between and after blocks."""
    begun = [w for w in weeks if w.starts_on <= day]
    return begun[-1] if begun and day < begun[-1].starts_on + _WEEK else None


def usual_week(weeks: Sequence[Week], starts_on: date) -> UsualWeek | None:
    """The usual week that would be trained in the place of a light week from that day.

    The first usual week that begins within a week of that day; where none does, such
    as at the end of a block, the last one before it. None without a plan in that place.
    """
    running = week_on(weeks, starts_on)
    near = [w for w in weeks if starts_on <= w.starts_on < starts_on + _WEEK]
    if near and (running is None or _is_over(running, starts_on)):
        running = None
    here = running or next(iter(near), None)
    if here is None:
        return None
    mine = [w for w in weeks if w.block_id == here.block_id and _last_on(w) is not None]
    build = [w for w in mine if w.kind == WeekKind.BUILD]
    ahead = [w for w in build if starts_on <= w.starts_on < starts_on + _WEEK]
    behind = [w for w in build if w.starts_on <= starts_on]
    chosen = ahead[0] if ahead else behind[-1] if behind else None
    return UsualWeek(here.block, chosen, running) if chosen else None


def _last_on(week: Week) -> date | None:
    day: date | None = getattr(week, "last_on", None)
    return day


def _is_over(week: Week, day: date) -> bool:
    """Whether a week holds no session from that day on."""
    last = _last_on(week)
    return last is None or last < day


def first_free_day(client: Client, today: date) -> date:
    """Today, or tomorrow when the client has begun a session today; 2 queries."""
    planned = PlannedSession.objects.filter(
        week__block__client=client, on=today, started_at__isnull=False
    )
    logged = LoggedSession.objects.filter(client=client, on=today, skipped_reason="")
    return today + timedelta(days=1) if planned.exists() or logged.exists() else today


def live_light_week(client: Client, today: date) -> Decision | None:
    """The decision behind a light week that is in the plan and not over; 2 queries.

    A decision whose version was taken back elsewhere no longer counts.
    """
    recent = (
        Decision.objects.filter(
            review__client=client,
            kind=DecisionKind.DELOAD,
            undone_at__isnull=True,
            version__isnull=False,
        )
        .select_related("version__block", "by", "review")
        .order_by("-at", "-pk")
        .first()
    )
    if recent is None or recent.version is None or light_days(recent)[1] < today:
        return None
    in_plan = Week.objects.filter(
        block=recent.version.block_id, kind=WeekKind.DELOAD, starts_on=light_days(recent)[0]
    )
    return recent if in_plan.exists() else None


def light_days(decision: Decision) -> tuple[date, date]:
    """First and last day of the light week that was decided."""
    starts_on = date.fromisoformat(decision.proposal["starts_on"])
    days = decision.proposal.get("days", DELOAD_DAYS_LONGEST.value)
    return starts_on, starts_on + timedelta(days=int(days) - 1)
