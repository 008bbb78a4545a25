"""What was done of a block so far, week by week beside what was planned, and of the block before."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.blocks.charts import sets_text
from coaching.blocks.models import Block
from coaching.blocks.queries import block_value
from coaching.rules import plan
from coaching.rules.balance import logged_balance
from coaching.rules.log import LoggedSession
from coaching.rules.volume import MuscleVolume, logged_volume, planned_week_volume
from sessions.week_facts import sessions_between

_WEEK = timedelta(days=7)
_ANY_WEIGHT_KG = 1.0
"""Sets do not depend on body weight; no kilograms are told here."""

Volume = Mapping[plan.Muscle, MuscleVolume]


@dataclass(frozen=True)
class DoneWeek:
    """One week that has begun; ``balance`` is pushing against pulling sets as done."""

    number: int
    kind: str
    is_running: bool
    balance: str
    volume: Volume
    planned: Volume


@dataclass(frozen=True)
class DoneCell:
    """A muscle's counted sets in a week: done, and planned."""

    done: str
    planned: str
    is_short: bool


@dataclass(frozen=True)
class DoneRow:
    """One muscle; ``last_block`` is what it got a usual week of the block before."""

    label: str
    cells: tuple[DoneCell, ...]
    last_block: str


@dataclass(frozen=True)
class BlockDone:
    """What is done of a block."""

    block: Block
    weeks: tuple[DoneWeek, ...]
    rows: tuple[DoneRow, ...]
    last_block: str


def block_done(block: Block, today: date) -> BlockDone:
    """Sets per muscle as done, for each week that has begun; 16 queries at the most."""
    before = _before(block)
    weeks = _weeks(block, today) if block.published_at else ()
    last = _usual_done(before, today) if before else {}
    muscles = {m for week in weeks for m in (*week.volume, *week.planned)} | last.keys()
    return BlockDone(
        block=block,
        weeks=weeks,
        rows=tuple(_row(muscle, weeks, last) for muscle in plan.Muscle if muscle in muscles),
        last_block=f"block {before.number}" if before and last else "",
    )


def _before(block: Block) -> Block | None:
    earlier = Block.objects.filter(
        client=block.client_id, number__lt=block.number, published_at__isnull=False
    )
    return earlier.select_related("client").order_by("-number").first()


def _weeks(block: Block, today: date) -> tuple[DoneWeek, ...]:
    begun = [one for one in block_value(block).weeks if one.starts_on <= today]
    logs = _logs(block, begun, today)
    return tuple(_week(one, logs, today) for one in begun)


def _logs(
    block: Block, weeks: Sequence[plan.PlannedWeek], today: date
) -> tuple[LoggedSession, ...]:
    if not weeks:
        return ()
    days = (weeks[0].starts_on, min(today, weeks[-1].starts_on + _WEEK - timedelta(days=1)))
    return sessions_between([block.client], days, {}, {}).get(block.client_id, ())


def _week(week: plan.PlannedWeek, logs: Sequence[LoggedSession], today: date) -> DoneWeek:
    end = week.starts_on + _WEEK
    done = [one for one in logs if week.starts_on <= one.on < end]
    balance = logged_balance(done)
    return DoneWeek(
        number=week.number,
        kind=week.kind.value,
        is_running=today < end,
        balance=f"{balance.push_sets} : {balance.pull_sets}",
        volume=logged_volume(done),
        planned=planned_week_volume(week, body_weight=_ANY_WEIGHT_KG),
    )


def _usual_done(block: Block, today: date) -> dict[plan.Muscle, float]:
    """What each muscle got in the usual weeks that are over, on average."""
    over = [one for one in _weeks(block, today) if not one.is_running]
    usual = [one for one in over if one.kind == plan.WeekKind.BUILD]
    muscles = {muscle for one in usual for muscle in one.volume}
    return {m: sum(_sets(one.volume, m) for one in usual) / len(usual) for m in muscles}


def _row(
    muscle: plan.Muscle, weeks: Sequence[DoneWeek], last: Mapping[plan.Muscle, float]
) -> DoneRow:
    return DoneRow(
        label=muscle.value,
        cells=tuple(_cell(muscle, week) for week in weeks),
        last_block=sets_text(last.get(muscle, 0.0)) if last else "",
    )


def _cell(muscle: plan.Muscle, week: DoneWeek) -> DoneCell:
    done, planned = _sets(week.volume, muscle), _sets(week.planned, muscle)
    return DoneCell(sets_text(done), sets_text(planned), done < planned and not week.is_running)


def _sets(volume: Volume, muscle: plan.Muscle) -> float:
    return volume[muscle].fractional_sets if muscle in volume else 0.0
