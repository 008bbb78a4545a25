"""Undo and redo: steps along the list of a coach's own edits.

What was published meanwhile, or is left out because its day has passed, is no edit of the
coach: undo passes it by and leaves it standing. An edit that stands beneath it is taken back as
if it had never been made: the plan before it, and on that what was published meanwhile.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q

from clients.models import User
from coaching.blocks.editing.deltas import Change, applied, delta, reverse
from coaching.blocks.editing.draft_queries import LEFT_OUT, MERGED, OWN, plan_at
from coaching.blocks.editing.merge import Merged, merge
from coaching.blocks.editing.sent_acts import Sent, fields_of
from coaching.blocks.editing.working_copy import REDO, UNDO, log_edit, save_moved
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockDraft, BlockEdit, BlockVersion
from coaching.blocks.snapshots import Snapshot

Settle = Callable[[Snapshot, Snapshot], Snapshot]
"""A plan, with past and begun sessions as they stand in the second one."""


@dataclass
class _Step:
    """Where a step leads; ``act`` is what its record keeps."""

    edit: BlockEdit
    plan: Snapshot
    act: dict[str, Any]


def stepped(
    row: BlockDraft, *, back: bool, by: User, settle: Settle, sent: Sent | None = None
) -> BlockEdit:
    """Undo the last own edit that stands, or redo the one undone last; 3 queries, more past a merge."""
    step = _back(row, settle) if back else _forth(row)
    plan = settle(step.plan, row.base)
    changes, seen = delta(row.snapshot, plan), row.revision
    row.snapshot = plan
    row.place += -1 if back else 1
    row.revision += 1
    save_moved(row, seen)
    what = f"{'Undid' if back else 'Done again'}: {step.edit.what}"
    also = fields_of(sent)
    log_edit(row, act=step.act, what=what, by=by, delta=changes, of=step.edit, **also)
    return step.edit


def _back(row: BlockDraft, settle: Settle) -> _Step:
    edit, record = _at(row, row.place)
    if edit is not None and record is not None and edit.act["act"] not in (MERGED, LEFT_OUT):
        changes = reverse(_forward(edit, record))
        return _Step(edit, applied(row.snapshot, changes), {"act": UNDO})
    return _past_others(row, settle)


def _past_others(row: BlockDraft, settle: Settle) -> _Step:
    """The step back to the last own edit beneath what was published meanwhile."""
    standing = BlockEdit.objects.filter(draft=row, place__lte=row.place)
    edit = standing.filter(OWN).order_by("-place").first()
    if edit is None:
        message = "There is nothing to undo."
        raise BlockError(message)
    record = edit.undos_and_redos.order_by("-revision").first() or edit
    passed = list(standing.filter(place__gt=edit.place).order_by("place"))
    plan = _before(row, edit, record)
    past = {str(one.pk): one.clashes for one in passed}
    for one in passed:
        merged = _through(row, one, plan, settle)
        plan = merged.snapshot
        BlockEdit.objects.filter(pk=one.pk).update(clashes=list(merged.clashes))
    _passed_by(row, edit, passed)
    return _Step(edit, plan, {"act": UNDO, "past": past})


def _forth(row: BlockDraft) -> _Step:
    edit, record = _at(row, row.place + 1)
    if edit is None or record is None:
        message = "There is nothing to redo."
        raise BlockError(message)
    # Beneath it stands again what clashed with what was published meanwhile.
    for pk, clashes in record.act.get("past", {}).items():
        BlockEdit.objects.filter(pk=pk).update(clashes=clashes)
    return _Step(edit, applied(row.snapshot, _forward(edit, record)), {"act": REDO})


def _at(row: BlockDraft, place: int) -> tuple[BlockEdit | None, BlockEdit | None]:
    """The edit at a place of the list, and the last time it was done, undone or done again."""
    there = BlockEdit.objects.filter(Q(place=place) | Q(of__place=place), draft=row)
    record = there.select_related("of").order_by("-revision").first()
    edit = record.of if record and record.place != place else record
    return edit, record


def _is_undo(edit: BlockEdit, record: BlockEdit) -> bool:
    return record.pk != edit.pk and record.act["act"] == UNDO


def _forward(edit: BlockEdit, record: BlockEdit) -> list[Change]:
    """What leads from the plan without an edit to the one with it, as it was last."""
    changes: list[Change] = record.delta
    return reverse(changes) if _is_undo(edit, record) else changes


def _before(row: BlockDraft, edit: BlockEdit, record: BlockEdit) -> Snapshot:
    """The plan as it was without an edit, before what was published since."""
    revision = record.revision - (0 if _is_undo(edit, record) else 1)
    return plan_at(row.block, row, revision) or row.base


def _through(row: BlockDraft, one: BlockEdit, plan: Snapshot, settle: Settle) -> Merged:
    """What becomes of an earlier plan by what was published meanwhile."""
    if one.act["act"] == LEFT_OUT:
        return Merged(settle(plan, row.base), ())
    if "version" not in one.act:
        # A record from before merges were kept in full.
        base, theirs = (plan_at(row.block, row, one.revision - n) or plan for n in (1, 0))
        return merge(base, theirs, plan)
    version = BlockVersion.objects.get(block=row.block_id, number=one.act["version"])
    base = applied(version.snapshot, one.act["base"])
    return merge(base, version.snapshot, settle(plan, base))


def _passed_by(row: BlockDraft, edit: BlockEdit, passed: Sequence[BlockEdit]) -> None:
    """What was published meanwhile goes beneath the edit that is undone."""
    edits, first = BlockEdit.objects, edit.place or 0
    edits.filter(pk=edit.pk).update(place=None)
    for place, one in enumerate(passed, start=first):
        edits.filter(pk=one.pk).update(place=place)
    edits.filter(pk=edit.pk).update(place=row.place)


# What can no longer be published.


def fallen(row: BlockDraft, settle: Settle) -> list[BlockEdit]:
    """Unpublished edits that change nothing any more: all that they changed is past or begun."""
    listed = BlockEdit.objects.filter(OWN, draft=row, place__lte=row.place, is_published=False)
    own = list(listed.defer("delta"))
    if not own:
        return []
    first = min(one.revision for one in own)
    log = BlockEdit.objects.filter(draft=row, revision__gte=first).order_by("-revision")
    plans: dict[int, Snapshot] = {row.revision: row.snapshot}
    records: dict[int, BlockEdit] = {}
    for one in log:
        plans[one.revision - 1] = applied(plans[one.revision], reverse(one.delta))
        if one.of_id is not None:
            records.setdefault(one.of_id, one)

    def changes_nothing(edit: BlockEdit) -> bool:
        at = records.get(edit.pk, edit).revision
        return settle(plans[at - 1], row.base) == settle(plans[at], row.base)

    return [one for one in own if changes_nothing(one)]


def drop(row: BlockDraft, gone: Sequence[BlockEdit]) -> None:
    """Take edits out of the list; the others close up, the log keeps all."""
    edits = BlockEdit.objects.filter(draft=row)
    edits.filter(pk__in=[one.pk for one in gone]).update(place=None)
    for place, pk in enumerate(
        edits.filter(place__isnull=False).order_by("place").values_list("pk", flat=True), start=1
    ):
        edits.filter(~Q(place=place), pk=pk).update(place=place)
    row.place -= len(gone)
    row.top -= len(gone)


def merge_record(number: int, base: Snapshot, published: Snapshot) -> dict[str, Any]:
    """What the record of a merge keeps, so that it can be done again on an earlier plan."""
    return {"act": MERGED, "version": number, "base": delta(published, base)}
