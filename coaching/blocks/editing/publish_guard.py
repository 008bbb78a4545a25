"""What may not be published: what a client must avoid or lacks the equipment for, and wrong days."""

from datetime import date

from coaching.blocks.editing.opening import Opened
from coaching.blocks.editing.start_acts import late_sessions, later_start
from coaching.blocks.equipment_guard import refuse_missing
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_guard import refuse_avoided
from coaching.blocks.models import Block, PlannedSession
from coaching.blocks.services import check_length, next_block_met
from coaching.blocks.snapshots import Snapshot


def refuse_unfit(now: Opened, today: date, *, first: bool) -> None:
    """Refuse a plan that brings in what the client must not or cannot do, or that is out of its days."""
    block, plan = now.block, now.plan
    check_length(plan)
    refuse_avoided(block=block, snapshot=plan, today=today, all_of_it=first)
    refuse_missing(block.client, plan, now.base, since=today)
    if first:
        _refuse_late(plan, today)
        _refuse_double(block, plan, today)
    longer = _last_day(plan) > _last_day(now.base)
    met = next_block_met(block, plan, since=today) if longer else None
    if met is not None:
        message = (
            f"This block would run into block {met.number}, which starts on "
            f"{met.starts_on:%-d %b}. Remove a week, or start that block later."
        )
        raise BlockError(message)


def _refuse_late(plan: Snapshot, today: date) -> None:
    """Refuse sessions of the past that nobody has seen: they would count as missed."""
    if late := late_sessions(plan, today):
        sessions = "1 session lies" if late == 1 else f"{late} sessions lie"
        message = (
            f"{sessions} before today, and nobody has seen this block. "
            f"Start it on {later_start(plan, today):%-d %b}, or move or remove them."
        )
        raise BlockError(message)


def _refuse_double(block: Block, plan: Snapshot, today: date) -> None:
    """Refuse a first publishing on days for which the client has another plan; 1 query."""
    days = [one["on"] for week in plan["weeks"] for one in week["sessions"]]
    span = (max(min(days, default=""), today.isoformat()), max(days, default=""))
    planned = PlannedSession.objects.filter(week__block__client=block.client_id, on__range=span)
    others = planned.filter(week__block__published_at__isnull=False).exclude(week__block=block)
    there = list(others.order_by("on").values_list("week__block__number", "on"))
    if there:
        number, first = there[0]
        message = (
            f"Block {number} still plans {len(there)} "
            f"session{'' if len(there) == 1 else 's'} on these days, from {first:%-d %b} on; "
            f"{block.client.name} would have both on the phone. Remove those weeks from "
            f"block {number} first, or make this block start after it."
        )
        raise BlockError(message)


def _last_day(plan: Snapshot) -> str:
    return max((one["on"] for week in plan["weeks"] for one in week["sessions"]), default="")
