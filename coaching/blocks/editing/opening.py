"""A working copy opened: with what was published meanwhile, and without what can no longer be."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from django.db import transaction

from coaching.blocks.editing.compare import differences, in_words
from coaching.blocks.editing.draft_queries import (
    LEFT_OUT,
    Draft,
    begun_of,
    draft_row,
    draft_value,
    fixed_before,
    plan_now,
)
from coaching.blocks.editing.merge import merge
from coaching.blocks.editing.settling import settled
from coaching.blocks.editing.stepping import Settle, drop, fallen, merge_record
from coaching.blocks.editing.working_copy import appended, save
from coaching.blocks.models import Block, BlockDraft, BlockVersion
from coaching.blocks.plan_rows import standing_of
from coaching.blocks.snapshots import Snapshot


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

    @property
    def settle(self) -> Settle:
        """How a plan looks with what is past or begun as it is published."""
        return partial(settled, today=self.fixed_before, begun=self.begun)


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
    plan = plan_now(row, begun, fixed)
    if plan != row.snapshot or _newest(row) != row.based_on_id:
        row = _brought_up_to_date(block, row, partial(settled, today=fixed, begun=begun))
        plan = plan_now(row, begun, fixed)
    return Opened(block, row, plan, row.base, row.revision, begun, row.based_on_id, fixed)


def made(now: Opened) -> BlockDraft:
    """The row of a working copy; for the first edit a new one, which that edit writes."""
    if now.row is not None:
        return now.row
    return BlockDraft(
        block=now.block,
        snapshot=now.plan,
        base=now.base,
        based_on_id=now.based_on,
        revision=now.revision,
        published_revision=now.revision,
    )


def _newest(row: BlockDraft) -> int | None:
    newest: int | None = row.newest  # type: ignore[attr-defined]
    return newest


@transaction.atomic
def _brought_up_to_date(block: Block, row: BlockDraft, settle: Settle) -> BlockDraft:
    row = draft_row(block, locked=True) or row
    _leave_out(row, settle)
    if _newest(row) != row.based_on_id:
        _merge_in(block, row)
    # Once more: a session that begins differs only in what is published now.
    if settle(row.snapshot, row.base) != row.snapshot:
        _leave_out(row, settle)
    return row


def _leave_out(row: BlockDraft, settle: Settle) -> None:
    """What was not published before its day falls off the list; the newest record tells it once."""
    plan = settle(row.snapshot, row.base)
    if plan == row.snapshot:
        return
    gone = fallen(row, settle)
    told = "; ".join(in_words(differences(plan, row.snapshot))) or "A change"
    what = f"{told}: not published before its day; left out"
    appended(row, plan, act={"act": LEFT_OUT}, what=what, by=None, is_published=True)
    if gone:
        drop(row, gone)
        save(row)


def _merge_in(block: Block, row: BlockDraft) -> None:
    """Merge what was published meanwhile by another way, as an edit that says so."""
    since = row.based_on.number if row.based_on else 0
    meanwhile = list(
        BlockVersion.objects.filter(block=block, number__gt=since)
        .select_related("by")
        .order_by("number")
    )
    newest, base = meanwhile[-1], row.base
    merged = merge(base, newest.snapshot, row.snapshot)
    row.base, row.based_on = newest.snapshot, newest
    save(row)
    if newest.snapshot == base:
        return
    appended(
        row,
        merged.snapshot,
        act=merge_record(newest.number, base, newest.snapshot),
        what=f"Published meanwhile: {_told(meanwhile, base)}",
        by=newest.by,
        is_published=True,
        clashes=merged.clashes,
    )


def _told(meanwhile: Sequence[BlockVersion], base: Snapshot) -> str:
    # A version of a plan that was never published tells first how it stood before.
    return "; ".join(
        [one.what for one in meanwhile if one.snapshot != base] or [meanwhile[-1].what]
    )
