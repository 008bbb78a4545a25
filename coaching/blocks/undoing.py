"""Which change of a block can be taken back, and what the plan is without it.

Taking a change back is a version too, so after it the change before stands and can go as well.
"""

from collections.abc import Collection, Mapping
from typing import NamedTuple

from coaching.blocks.editing.merge import merge
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockVersion
from coaching.blocks.snapshots import Snapshot


class _Known(NamedTuple):
    pk: int
    block: int
    number: int
    undoes: int | None


def without(version: BlockVersion, previous: BlockVersion) -> Snapshot:
    """The plan of now without one change of it; what later ones changed elsewhere stays.

    Raises BlockError when it is taken back already, or when a later change touches the same.
    """
    versions = version.block.versions
    newest = versions.order_by("-number")[0]
    if versions.filter(undoes=version).exists():
        message = f"“{version.what}” is taken back already; undo the newest change instead."
        raise BlockError(message)
    merged = merge(version.snapshot, newest.snapshot, previous.snapshot)
    if merged.clashes:
        message = (
            f"“{version.what}” cannot be taken back alone: what it changed was changed again in "
            f"“{newest.what}” or before it. Undo the newest change first."
        )
        raise BlockError(message)
    return merged.snapshot


def standing_changes(blocks: Collection[int]) -> dict[int, frozenset[int]]:
    """By block the versions that can be taken back: the newest, and the one that it left standing.

    1 query.
    """
    rows = BlockVersion.objects.filter(block__in=blocks).order_by("block_id", "number")
    own: dict[int, dict[int, _Known]] = {}
    for row in rows.values_list("pk", "block_id", "number", "undoes_id"):
        known = _Known(*row)
        own.setdefault(known.block, {})[known.pk] = known
    return {
        block: frozenset({next(reversed(versions)), _standing(versions)})
        for block, versions in own.items()
    }


def _standing(versions: Mapping[int, _Known]) -> int:
    """The newest change that no later version took back; versions come oldest first."""
    order = list(versions)
    at = order[-1]
    while True:
        change, times = at, 0
        while (taken := versions[change].undoes) is not None:
            change, times = taken, times + 1
        # Taken back an even number of times it stands: undone, and brought back by the last.
        before = order[: order.index(change)]
        if times % 2 == 0 or not before:
            return at
        at = before[-1]
