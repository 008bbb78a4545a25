"""What a coach decides where two windows, or the editor and the practice, changed one block."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from coaching.blocks.editing.draft_queries import Draft, EditLine, KeptLine
from coaching.blocks.models import Block


@dataclass(frozen=True, slots=True)
class SaidEdit:
    """One change in words, with its time where the client lives."""

    what: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Waiting:
    """A kept edit that waits for a decision, and what was changed meanwhile."""

    pk: int
    edit: SaidEdit
    meanwhile: tuple[SaidEdit, ...]


@dataclass(frozen=True, slots=True)
class Conflict:
    """Everything of a block that two have changed."""

    block_id: int
    revision: int
    waiting: tuple[Waiting, ...]
    clashes: tuple[str, ...]


def conflict_of(block: Block, draft: Draft) -> Conflict | None:
    """What waits for a decision in a working copy; none where nothing does, no query."""
    if not draft.kept and not draft.clashes:
        return None
    zone = ZoneInfo(block.client.time_zone)
    waiting = tuple(
        Waiting(one.pk, said(one, zone), tuple(said(other, zone) for other in one.meanwhile))
        for one in draft.kept
    )
    return Conflict(block.pk, draft.revision, waiting, draft.clashes)


def said(edit: EditLine | KeptLine, zone: ZoneInfo) -> SaidEdit:
    """An edit with its time where the client lives; one that was taken back says so."""
    undone = isinstance(edit, EditLine) and edit.taken_back
    what = f"Undid: {edit.what}" if undone else edit.what
    return SaidEdit(what, edit.by, edit.at.astimezone(zone))
