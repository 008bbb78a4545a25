"""The rows of a working copy: moved on by one revision at a time."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import IntegrityError

from clients.models import User
from coaching.blocks.editing.deltas import delta
from coaching.blocks.editing.sent_acts import Sent, fields_of
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockDraft, BlockEdit
from coaching.blocks.snapshots import Snapshot

MOST_WORDS = 300
UNDO, REDO = "undo", "redo"
AT_THE_SAME_MOMENT = "This block was changed in another window at the same moment. Try again."


class MadeMeanwhile(BlockError):  # noqa: N818 - the coach did nothing wrong
    """Another window made the first edit of the block at the same moment."""

    def __init__(self) -> None:
        super().__init__(AT_THE_SAME_MOMENT)


def appended(
    row: BlockDraft,
    snapshot: Snapshot,
    *,
    act: Mapping[str, Any],
    what: str,
    by: User | None,
    is_published: bool = False,
    clashes: Sequence[str] = (),
    sent: Sent | None = None,
) -> BlockEdit:
    """Put an edit at the end of the list; what was undone gives way; 2 queries.

    Raises MadeMeanwhile when the row is new and another window has made it first.
    """
    seen = row.revision
    if row.top > row.place:
        _give_way(row)
    row.place += 1
    row.top = row.place
    row.revision += 1
    changes = delta(row.snapshot, snapshot)
    row.snapshot = snapshot
    save_moved(row, seen)
    return log_edit(
        row,
        act=act,
        what=what,
        by=by,
        delta=changes,
        place=row.place,
        is_published=is_published,
        clashes=list(clashes),
        **fields_of(sent),
    )


def mark_published(row: BlockDraft) -> None:
    """From now on what stands of the list is what is published; 2 queries."""
    edits = BlockEdit.objects.filter(draft=row, place__isnull=False)
    edits.filter(place__lte=row.place, is_published=False).update(is_published=True)
    edits.filter(place__gt=row.place, is_published=True).update(is_published=False)


def save(row: BlockDraft) -> None:
    """Keep what a working copy is based on; its revision stays."""
    save_moved(row, row.revision, "base", "based_on", "published_revision")


def save_moved(row: BlockDraft, seen: int, *also: str) -> None:
    """Write the row only if nobody moved it on meanwhile, also where rows are not locked."""
    if not row.pk:
        try:
            row.save(force_insert=True)
        except IntegrityError as error:
            raise MadeMeanwhile from error
        return
    fields = ("snapshot", "revision", "place", "top", *also)
    values = {name: getattr(row, name) for name in fields}
    if not BlockDraft.objects.filter(pk=row.pk, revision=seen).update(**values):
        raise BlockError(AT_THE_SAME_MOMENT)


def log_edit(row: BlockDraft, *, act: Mapping[str, Any], what: str, **fields: Any) -> BlockEdit:
    """Keep the record of a revision."""
    return BlockEdit.objects.create(
        draft=row, revision=row.revision, act=dict(act), what=what[:MOST_WORDS], **fields
    )


def _give_way(row: BlockDraft) -> None:
    """Close the list behind the edits that stand, before a new edit goes there.

    What was undone leaves the list. Where published edits are among it, taking them back is a
    change that is still to be published: then it stays in the list, and its undos follow it.
    """
    undone = list(
        BlockEdit.objects.filter(draft=row, place__gt=row.place).defer("delta").order_by("place")
    )
    last = max((one.place or 0 for one in undone if one.is_published), default=row.place)
    leaving = [one.pk for one in undone if (one.place or 0) > last]
    BlockEdit.objects.filter(pk__in=leaving).update(place=None)
    place = last
    staying = [one.pk for one in undone if (one.place or 0) <= last]
    undos = BlockEdit.objects.filter(of__in=staying, act__act=UNDO).order_by("revision")
    newest = {one.of_id: one for one in undos.only("pk", "of_id")}
    for pk in reversed(staying):
        place += 1
        newest[pk].place, newest[pk].clashes = place, []
    BlockEdit.objects.bulk_update(newest.values(), ["place", "clashes"])
    row.place = place
