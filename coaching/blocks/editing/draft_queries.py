"""Reads of working copies: the plan as edited, what is unpublished, what was kept."""

import json
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db.models import Aggregate, Exists, Q, QuerySet, Subquery, TextField
from django.db.models.functions import Cast
from django.db.models.sql.compiler import SQLCompiler

from clients.kept_query import KeptQuery, next_in
from coaching.blocks.editing.deltas import applied, reverse
from coaching.blocks.editing.settling import settled
from coaching.blocks.models import (
    Block,
    BlockDraft,
    BlockEdit,
    BlockVersion,
    KeptEdit,
    PlannedSession,
)
from coaching.blocks.snapshots import Snapshot

NOBODY = "nobody known"
MERGED, LEFT_OUT = "merge", "left out"
OWN = ~Q(act__act__in=[MERGED, LEFT_OUT])
"""What a coach did; the rest came about by itself, and undo passes it by."""


@dataclass(frozen=True, slots=True)
class EditLine:
    """One unpublished change: what, who, when; ``taken_back`` when it is published and undone."""

    what: str
    by: str
    at: datetime
    taken_back: bool = False


@dataclass(frozen=True, slots=True)
class KeptLine:
    """An edit that met a plan changed meanwhile, kept until it is decided."""

    pk: int
    what: str
    by: str
    at: datetime
    meanwhile: tuple[EditLine, ...]


@dataclass(frozen=True)
class Draft:
    """The working copy of a block, or the published plan where nothing was edited.

    ``snapshot`` is the plan as edited, ``base`` as it stands in the rows; ``begun`` the uids of
    sessions begun. ``undo`` and ``redo`` are the words of what they would do, empty where there
    is nothing; ``last`` what was done last, or came about. ``left_out`` says, until the next
    edit, what was not published in time. ``clashes`` tell where a version published meanwhile
    changed the same.
    """

    snapshot: Snapshot
    base: Snapshot
    revision: int
    begun: frozenset[str]
    undo: str = ""
    redo: str = ""
    last: str = ""
    left_out: str = ""
    unpublished: tuple[EditLine, ...] = ()
    clashes: tuple[str, ...] = ()
    kept: tuple[KeptLine, ...] = ()

    @property
    def is_changed(self) -> bool:
        """Whether there is anything to publish."""
        return self.snapshot != self.base


class _Joined(Aggregate):
    """Texts of a group put together with commas."""

    output_field = TextField()
    template = "%(function)s(%(expressions)s, ',')"
    function = "STRING_AGG"

    def as_sqlite(self, compiler: SQLCompiler, connection: Any, **extra: Any) -> tuple[str, Any]:
        """The same function by SQLite's name."""
        return self.as_sql(compiler, connection, function="GROUP_CONCAT", **extra)


def draft_row(block: Block, *, locked: bool = False) -> BlockDraft | None:
    """The row of a block's working copy with what was published meanwhile; 1 query.

    It comes with ``newest``, the row id of the block's newest version, ``has_kept``, and
    ``begun``, the uids of sessions in which a set is logged, with commas.
    """
    found = (_LOCKED if locked else _UNLOCKED).rows(block.pk)
    if not found:
        return None
    values = iter(found[0])
    row = next_in(values, BlockDraft)
    row.newest, row.has_kept, row.begun = values  # type: ignore[attr-defined]
    return row


def _with_newest(block: int) -> QuerySet[BlockDraft]:
    newest = BlockVersion.objects.filter(block=block).order_by("-number")
    begun = PlannedSession.objects.filter(week__block=block, started_at__isnull=False)
    uids = begun.order_by().values("week__block").annotate(all=_Joined(Cast("uid", TextField())))
    return BlockDraft.objects.filter(block=block).annotate(
        newest=Subquery(newest.values("pk")[:1]),
        has_kept=Exists(_open_kept(block)),
        begun=Subquery(uids.values("all")),
    )


_UNLOCKED = KeptQuery(_with_newest)
_LOCKED = KeptQuery(lambda block: _with_newest(block).select_for_update(of=("self",)))


def begun_of(row: BlockDraft) -> frozenset[str]:
    """The uids of the block's sessions in which a set is logged; no query."""
    found: str | None = row.begun  # type: ignore[attr-defined]
    return frozenset(str(UUID(uid)) for uid in found.split(",")) if found else frozenset()


def _open_kept(block: int) -> QuerySet[KeptEdit]:
    return KeptEdit.objects.filter(block=block, decided_at__isnull=True)


def fixed_before(block: Block, today: date) -> date:
    """The day before which a plan stays as published: none where nobody has seen it yet."""
    return today if block.published_at is not None else date.min


def plan_now(row: BlockDraft, begun: frozenset[str], fixed_before: date) -> Snapshot:
    """The plan of a working copy, with past and begun sessions as they are published."""
    return settled(row.snapshot, row.base, today=fixed_before, begun=begun)


def first_value(row: BlockDraft, edit: BlockEdit, begun: frozenset[str], *, kept: bool) -> Draft:
    """The working copy after the first edit of a block; no query, 1 where an edit was kept."""
    by = edit.by.name if edit.by else NOBODY
    return Draft(
        snapshot=row.snapshot,
        base=row.base,
        revision=row.revision,
        begun=begun,
        undo=edit.what,
        last=edit.what,
        unpublished=(EditLine(edit.what, by, edit.at),),
        kept=kept_lines(row.block_id) if kept else (),
    )


def draft_value(row: BlockDraft, begun: frozenset[str], fixed_before: date) -> Draft:
    """The working copy as a page needs it; 1 query, 1 more where an edit was kept."""
    draft = Draft(
        snapshot=plan_now(row, begun, fixed_before),
        base=row.base,
        revision=row.revision,
        begun=begun,
    )
    kept = kept_lines(row.block_id) if getattr(row, "has_kept", True) else ()
    return replace(with_edits(draft, row), kept=kept)


def with_edits(draft: Draft, row: BlockDraft) -> Draft:
    """The working copy with what undo, redo and publishing would say; 1 query, 2 after a merge."""
    edits = _TOLD.rows(row.pk, row.place, row.place + 1, row.published_revision)
    lines: list[EditLine] = []
    clashes: list[str] = []
    for at_place, revision, is_published, what, by, at, act, told in edits:
        place = at_place or 0
        if place == row.place:
            draft = replace(draft, last=what, undo=_would_undo(row, what, act))
            if act == LEFT_OUT and revision == row.revision:
                draft = replace(draft, left_out=what)
        elif place == row.place + 1:
            draft = replace(draft, redo=what)
        if is_published != (place <= row.place):
            lines.append(EditLine(what, by or NOBODY, at, is_published))
        if told != _NONE and place <= row.place and revision > row.published_revision:
            clashes += json.loads(told)
    if not draft.is_changed:
        return draft
    return replace(draft, unpublished=tuple(lines), clashes=tuple(clashes))


def _told_of(draft: int, place: int, after: int, published: int) -> QuerySet[BlockEdit, Any]:
    """The edits beside where the list stands, and those that publishing would tell."""
    stands, undone = Q(place__lte=place), Q(place__gt=place)
    unpublished = stands & Q(is_published=False) | undone & Q(is_published=True)
    clashing = stands & Q(revision__gt=published) & ~Q(clashes=[])
    beside = Q(place__in=(place, after))
    edits = BlockEdit.objects.filter(unpublished | clashing | beside, draft=draft)
    # Plain values: of many edits in a row each would cost a model and its writer.
    # The words of a clash are parsed where they are told, and hardly an edit has any.
    return edits.order_by("place").values_list(
        *("place", "revision", "is_published", "what", "by__name", "at", "act__act"),
        Cast("clashes", TextField()),
    )


_TOLD = KeptQuery(_told_of)


_NONE = json.dumps([])
"""An edit without clashes, as it is written down."""


def _would_undo(row: BlockDraft, what: str, act: str) -> str:
    """What undo would take back: the last own edit."""
    if act not in {MERGED, LEFT_OUT}:
        return what
    own = BlockEdit.objects.filter(OWN, draft=row, place__lt=row.place).order_by("-place")
    return own.values_list("what", flat=True).first() or ""


def edit_line(edit: BlockEdit) -> EditLine:
    """One edit in words; ``by`` must be fetched."""
    return EditLine(edit.what, edit.by.name if edit.by else NOBODY, edit.at)


def kept_lines(block_id: int) -> tuple[KeptLine, ...]:
    """The kept edits of a block that wait for a decision; 1 query."""
    rows = _open_kept(block_id).select_related("by").defer("plan", "act").order_by("at")
    return tuple(kept_line(row) for row in rows)


def kept_line(row: KeptEdit) -> KeptLine:
    """One kept edit in words; ``by`` must be fetched."""
    return KeptLine(
        pk=row.pk,
        what=row.what,
        by=row.by.name if row.by else NOBODY,
        at=row.at,
        meanwhile=tuple(
            EditLine(one["what"], one["by"], datetime.fromisoformat(one["at"]))
            for one in row.meanwhile
        ),
    )


def since(row: BlockDraft, revision: int) -> tuple[EditLine, ...]:
    """What was done to a working copy after a revision, in order; 1 query."""
    edits = BlockEdit.objects.filter(draft=row, revision__gt=revision)
    return tuple(edit_line(one) for one in edits.select_related("by").order_by("revision"))


def plan_at(block: Block, row: BlockDraft | None, revision: int) -> Snapshot | None:
    """The plan as it was at a revision, none where that is not known; 1 or 2 queries.

    Before anything was edited the revision is the number of the newest version.
    """
    if row is not None and revision <= row.revision:
        edits = BlockEdit.objects.filter(draft=row, revision__gt=revision).order_by("-revision")
        deltas = list(edits.values_list("delta", flat=True))
        if len(deltas) == row.revision - revision:
            plan: Snapshot = row.snapshot
            for changes in deltas:
                plan = applied(plan, reverse(changes))
            return plan
    found = BlockVersion.objects.filter(block=block, number=max(revision, 1)).first()
    return found.snapshot if found else None
