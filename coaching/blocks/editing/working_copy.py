"""The rows of a working copy: opened, brought up to date, moved on by one revision."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import IntegrityError, transaction

from clients.models import User
from coaching.blocks.editing.deltas import Change, applied, delta, reverse
from coaching.blocks.editing.draft_queries import (
    Draft,
    begun_of,
    draft_row,
    draft_value,
    fixed_before,
    plan_now,
)
from coaching.blocks.editing.merge import merge
from coaching.blocks.editing.settling import settled
from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, BlockDraft, BlockEdit, BlockVersion
from coaching.blocks.plan_rows import standing_of
from coaching.blocks.snapshots import Snapshot

MOST_WORDS = 300
UNDO, REDO, MERGED = "undo", "redo", "merge"
AT_THE_SAME_MOMENT = "This block was changed in another window at the same moment. Try again."


@dataclass(frozen=True)
class Opened:
    """A block as it is edited now; ``row`` is none where nothing was edited yet."""

    block: Block
    row: BlockDraft | None
    plan: Snapshot
    base: Snapshot
    revision: int
    begun: frozenset[str]
    based_on: int | None
    fixed_before: date
    has_kept: bool = False

    def value(self) -> Draft:
        """The working copy as a page needs it."""
        if self.row is None:
            return Draft(self.plan, self.base, self.revision, self.begun)
        return draft_value(self.row, self.begun, self.fixed_before)


def opened(block: Block, today: date, *, locked: bool = False) -> Opened:
    """The working copy with what was published meanwhile merged in; 1 query, 2 without edits."""
    row, fixed = draft_row(block, locked=locked), fixed_before(block, today)
    if row is None:
        stands = standing_of(block)
        plan, begun = stands.snapshot, stands.begun
        return Opened(
            *(block, None, plan, plan, stands.number, begun, stands.version, fixed),
            has_kept=stands.has_kept,
        )
    begun = begun_of(row)
    if _newest(row) != row.based_on_id:
        row = _brought_up_to_date(block, row, begun, fixed)
    plan = plan_now(row, begun, fixed)
    return Opened(block, row, plan, row.base, row.revision, begun, row.based_on_id, fixed)


def _newest(row: BlockDraft) -> int | None:
    newest: int | None = row.newest  # type: ignore[attr-defined]
    return newest


@transaction.atomic
def _brought_up_to_date(
    block: Block, row: BlockDraft, begun: frozenset[str], fixed: date
) -> BlockDraft:
    """Merge what was published meanwhile by another way, as an edit that says so."""
    row = draft_row(block, locked=True) or row
    if _newest(row) == row.based_on_id:
        return row
    since = row.based_on.number if row.based_on else 0
    meanwhile = list(
        BlockVersion.objects.filter(block=block, number__gt=since)
        .select_related("by")
        .order_by("number")
    )
    newest = meanwhile[-1]
    # A version of a plan that was never published tells first how it stood before.
    told = [one.what for one in meanwhile if one.snapshot != row.base] or [newest.what]
    mine = settled(row.snapshot, row.base, today=fixed, begun=begun)
    merged = merge(row.base, newest.snapshot, mine)
    row.base, row.based_on = newest.snapshot, newest
    save(row)
    if merged.snapshot == row.snapshot and not merged.clashes:
        return row
    appended(
        row,
        merged.snapshot,
        act={"act": MERGED},
        what=f"Published meanwhile: {'; '.join(told)}",
        by=newest.by,
        is_published=True,
        clashes=merged.clashes,
    )
    return row


class MadeMeanwhile(BlockError):  # noqa: N818 - the coach did nothing wrong
    """Another window made the first edit of the block at the same moment."""

    def __init__(self) -> None:
        super().__init__(AT_THE_SAME_MOMENT)


def made(opened: Opened) -> BlockDraft:
    """The row of a working copy; for the first edit a new one, which that edit writes."""
    if opened.row is not None:
        return opened.row
    return BlockDraft(
        block=opened.block,
        snapshot=opened.plan,
        base=opened.base,
        based_on_id=opened.based_on,
        revision=opened.revision,
        published_revision=opened.revision,
    )


def appended(
    row: BlockDraft,
    snapshot: Snapshot,
    *,
    act: Mapping[str, str],
    what: str,
    by: User | None,
    is_published: bool = False,
    clashes: Sequence[str] = (),
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
    _save(row, seen)
    return _logged(
        row,
        act=act,
        what=what,
        by=by,
        delta=changes,
        place=row.place,
        is_published=is_published,
        clashes=list(clashes),
    )


def stepped(row: BlockDraft, *, back: bool, by: User) -> BlockEdit:
    """Undo the last edit that stands, or redo the one undone last; 3 queries."""
    place = row.place if back else row.place + 1
    edit = BlockEdit.objects.filter(draft=row, place=place).first() if place else None
    if edit is None:
        message = "There is nothing to undo." if back else "There is nothing to redo."
        raise BlockError(message)
    changes: list[Change] = reverse(edit.delta) if back else edit.delta
    seen = row.revision
    row.snapshot = applied(row.snapshot, changes)
    row.place += -1 if back else 1
    row.revision += 1
    _save(row, seen)
    what = f"Undid: {edit.what}" if back else f"Done again: {edit.what}"
    act = {"act": UNDO if back else REDO}
    _logged(row, act=act, what=what, by=by, delta=changes, of=edit)
    return edit


def mark_published(row: BlockDraft) -> None:
    """From now on what stands of the list is what is published; 2 queries."""
    edits = BlockEdit.objects.filter(draft=row, place__isnull=False)
    edits.filter(place__lte=row.place, is_published=False).update(is_published=True)
    edits.filter(place__gt=row.place, is_published=True).update(is_published=False)


def save(row: BlockDraft) -> None:
    """Keep what a working copy is based on; its revision stays."""
    _save(row, row.revision, "base", "based_on", "published_revision")


def _save(row: BlockDraft, seen: int, *also: str) -> None:
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


def _logged(row: BlockDraft, *, act: Mapping[str, str], what: str, **fields: Any) -> BlockEdit:
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
    for edit in reversed([one for one in undone if (one.place or 0) <= last]):
        undo = edit.undos_and_redos.filter(act__act=UNDO).order_by("-revision")[:1].get()
        place += 1
        BlockEdit.objects.filter(pk=undo.pk).update(place=place)
    row.place = place
