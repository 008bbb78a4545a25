"""The block before, to set the one that is edited beside it."""

from collections import defaultdict

from django.db.models import Max, QuerySet

from clients.models import Client
from coaching.blocks.models import Block, BlockVersion
from coaching.blocks.muscle_rows import LastBlock
from coaching.blocks.plan_figures import plan_figures
from coaching.blocks.planned_loads import loads_before
from coaching.blocks.snapshots import lines_of
from coaching.library.queries import exercise_values
from coaching.rules.plan import Muscle, WeekKind

_KEPT = 100
_opened: dict[int, LastBlock | None] = {}
"""By the block that is edited: what stood beside it when its page was opened."""


def last_block_of(block: Block, *, anew: bool = True) -> LastBlock | None:
    """What muscles got in the usual weeks of the client's block before; 3 queries.

    None without one that was published. Not ``anew``, it is as it was when the page was opened,
    without a query: what an edit of this block answers needs no more.
    """
    kept = not anew and block.pk in _opened
    found = _opened.get(block.pk) if kept else _read_anew(block)
    if not kept:
        if len(_opened) >= _KEPT:
            _opened.clear()
        _opened[block.pk] = found
    return found


def newest_block_of(client: Client) -> LastBlock | None:
    """The same for a block that is still to be made: the newest published one; 3 queries."""
    return _newest(Block.objects.filter(client=client))


def _read_anew(block: Block) -> LastBlock | None:
    return _newest(Block.objects.filter(client=block.client_id, number__lt=block.number))


def _newest(blocks: QuerySet[Block]) -> LastBlock | None:
    before = (
        blocks.filter(published_at__isnull=False)
        .annotate(newest=Max("versions__number"))
        .order_by("-number")
        .values_list("pk", "number", "newest")
        .first()
    )
    if before is None or before[2] is None:
        return None
    return _read(*before)


def _read(pk: int, number: int, newest: int) -> LastBlock:
    plan = BlockVersion.objects.values_list("snapshot", flat=True).get(block=pk, number=newest)
    used = {line["exercise"] for _, line in lines_of(plan)}
    weeks = plan_figures(plan, exercise_values(used))
    usual = [one for one in weeks if one.week.kind is WeekKind.BUILD]
    sets: dict[Muscle, float] = defaultdict(float)
    for week in usual:
        for muscle, volume in week.volume.items():
            sets[muscle] += volume.fractional_sets / len(usual)
    loads = loads_before(usual[-1] if usual else None)
    most = max((len(week.sessions) for week in usual), default=0)
    return LastBlock(f"block {number}", dict(sets), loads, most)
