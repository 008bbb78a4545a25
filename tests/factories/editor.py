"""The block editor without its page, as one window uses it."""

from datetime import date
from typing import Any

from clients.models import User
from coaching.blocks.editing.draft_queries import Draft
from coaching.blocks.editing.draft_services import (
    DraftEdited,
    Stale,
    discard_changes,
    draft_of,
    edit_block,
    publish_changes,
    redo_edit,
    undo_edit,
)
from coaching.blocks.models import Block, BlockVersion, KeptEdit
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import change_block
from coaching.blocks.snapshots import Snapshot, lines_of, with_lines_changed


class Editor:
    """One window: it posts acts with the revision that it saw last."""

    def __init__(self, block: Block, today: date, by: User) -> None:
        self.block, self.today, self.by = block, today, by
        self.draft = draft_of(block, today)

    def look(self) -> Draft:
        """Load the page again."""
        self.draft = draft_of(self.block, self.today)
        return self.draft

    def lines(self) -> list[str]:
        """The uids of what can be edited, in order."""
        return [
            line["uid"]
            for session, line in lines_of(self.draft.snapshot, since=self.today)
            if session["uid"] not in self.draft.begun
        ]

    def act(self, **raw: str) -> DraftEdited:
        """Post an act."""
        return self._done(edit_block, raw=raw)

    def change(self, place: int = 0, **fields: str) -> DraftEdited:
        """Change the line at a place among those that can be edited."""
        return self.act(act="change-line", line=self.lines()[place], **fields)

    def undo(self) -> DraftEdited:
        """Take the last edit back."""
        return self._done(undo_edit)

    def redo(self) -> DraftEdited:
        """Do it again."""
        return self._done(redo_edit)

    def discard(self) -> DraftEdited:
        """Let all unpublished changes go."""
        return self._done(discard_changes)

    def publish(self, why: str = "") -> BlockVersion:
        """Let the client see it."""
        return publish_changes(block=self.block, by=self.by, today=self.today, why=why)

    def _done(self, service: Any, **more: Any) -> DraftEdited:
        now = {"block": self.block, "today": self.today, "by": self.by}
        done: DraftEdited = service(revision=self.draft.revision, **now, **more)
        self.draft = done.draft
        return done


def changed_elsewhere(
    block: Block, today: date, by: User, *, targets: list[int], place: int = -1
) -> BlockVersion:
    """A version published by another way than the editor: one line of the plan changed."""
    before = snapshot_of(block)
    uid = [line["uid"] for _, line in lines_of(before, since=today)][place]
    after = with_lines_changed(
        before,
        lambda _session, _pair, line: line["uid"] == uid,
        lambda _pair, line: {**line, "targets": targets},
        since=today,
        light_too=True,
    )
    return change_block(block=block, snapshot=after, today=today, by=by, what="Review decided")


def targets_of(plan: Snapshot, uid: str) -> list[int]:
    """What a plan asks of one line."""
    return next(line["targets"] for _, line in lines_of(plan) if line["uid"] == uid)


def kept_edit(editor: Editor, by: User) -> KeptEdit:
    """What another window changed on a plan in which the first line had changed meanwhile."""
    other = Editor(editor.block, editor.today, by)
    editor.change(targets="4-4")
    try:
        other.change(1, targets="5-5")
    except Stale:
        editor.look()
    return KeptEdit.objects.get(block=editor.block)
