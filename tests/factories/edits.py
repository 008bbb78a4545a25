"""Edits for tests: an act on the working copy, and published at once where rows are looked at."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from clients.models import User
from coaching.blocks.editing.draft_services import (
    DraftEdited,
    draft_of,
    edit_block,
    publish_changes,
)
from coaching.blocks.models import Block, BlockVersion, Prescription
from coaching.library.models import Exercise


def edited(block: Block, *, by: User, today: date, **act: str) -> DraftEdited:
    """One act on the working copy of a block."""
    revision = draft_of(block, today).revision
    return edit_block(block=block, raw=act, revision=revision, today=today, by=by)


def change_prescription(
    *, prescription: Prescription, fields: Mapping[str, Any], onward: bool, today: date, by: User
) -> BlockVersion:
    """Change a line by its editor, and publish that."""
    words = {name: _words(value) for name, value in fields.items()}
    reach = "onward" if onward else "week"
    block = prescription.pair.planned_session.week.block
    edited(
        block,
        by=by,
        today=today,
        act="change-line",
        line=str(prescription.uid),
        reach=reach,
        **words,
    )
    return publish_changes(block=block, by=by, today=today)


def swap_exercise(
    *, prescription: Prescription, to: Exercise, onward: bool, today: date, by: User
) -> BlockVersion:
    """Swap a line by its editor, and publish that."""
    block = prescription.pair.planned_session.week.block
    edited(
        block,
        by=by,
        today=today,
        act="swap-line",
        line=str(prescription.uid),
        exercise=str(to.pk),
        reach="onward" if onward else "week",
    )
    return publish_changes(block=block, by=by, today=today)


def _words(value: Any) -> str:
    if isinstance(value, list):
        return "-".join(str(one) for one in value)
    return "" if value is None else str(value)
