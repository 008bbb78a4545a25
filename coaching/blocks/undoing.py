"""Which change of a block can be taken back, and what the plan is without it.

Taking a change back is a version too, so after it the change before stands and can go as well.
"""

from coaching.blocks.editing.merge import merge
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockVersion
from coaching.blocks.snapshots import Snapshot


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
