"""Which act of which window: one whose answer was lost is sent again, and not done again.

A window knows the plan by the answers that reached it. What it did and was not told of is its
own all the same: neither that act, sent once more, nor its next one is a conflict.
"""

from dataclasses import dataclass
from uuid import UUID

from coaching.blocks.models import Block, BlockDraft, BlockEdit, KeptEdit


@dataclass(frozen=True, slots=True)
class Sent:
    """The id of an act: its window, and the how manieth act of that window it is."""

    window: UUID
    number: int

    @property
    def fields(self) -> dict[str, UUID | int]:
        """The same as the record of an edit keeps it."""
        return {"window": self.window, "act_of_window": self.number}


def fields_of(sent: Sent | None) -> dict[str, UUID | int]:
    """What the record of an edit keeps of the act that was sent."""
    return sent.fields if sent else {}


def done_before(block: Block, sent: Sent | None) -> BlockEdit | None:
    """What an act did when it was sent the first time, none where it is new; 1 query."""
    if sent is None:
        return None
    edits = BlockEdit.objects.filter(draft__block=block, **sent.fields)
    return edits.defer("delta").first()


def kept_before(block: Block, sent: Sent | None) -> KeptEdit | None:
    """The same of an act that was kept for a decision; 1 query."""
    if sent is None:
        return None
    kept = KeptEdit.objects.filter(block=block, **sent.fields)
    return kept.select_related("by").defer("plan", "act").first()


def is_own(row: BlockDraft | None, revision: int, sent: Sent | None) -> bool:
    """Whether a plan has moved on since a revision by acts of this very window alone; 1 query."""
    if row is None or sent is None or revision >= row.revision:
        return False
    since = BlockEdit.objects.filter(draft=row, revision__gt=revision)
    windows = list(since.values_list("window", flat=True))
    return len(windows) == row.revision - revision and set(windows) == {sent.window}
