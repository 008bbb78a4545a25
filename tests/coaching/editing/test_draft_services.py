"""The working copy of a block: edited, taken back, let go."""

from datetime import timedelta

import pytest

from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, BlockTemplate, KeptEdit
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import create_block_from_template
from tests.factories.editor import Editor, targets_of

pytestmark = pytest.mark.django_db


def test_nothing_is_kept_of_a_block_that_is_only_looked_at(block, editor):
    assert editor.draft.snapshot == editor.draft.base == snapshot_of(block)
    assert not editor.draft.is_changed
    assert not hasattr(Block.objects.get(pk=block.pk), "draft")


def test_an_edit_changes_the_working_copy_and_no_row(block, editor):
    before = snapshot_of(block)
    uid = editor.lines()[0]

    done = editor.change(targets="4-4")

    assert targets_of(done.draft.snapshot, uid) == [4, 4]
    assert done.before == before == snapshot_of(block)
    assert done.edited.focus == uid
    assert [line.what for line in done.draft.unpublished] == [done.edited.what]
    assert done.draft.undo == done.edited.what
    assert block.versions.count() == 1


def test_undo_and_redo_move_along_the_edits(editor):
    plans = [editor.draft.snapshot]
    plans += [editor.change(targets=f"{n}-{n}").draft.snapshot for n in (4, 5, 6)]

    back = [editor.undo().draft.snapshot for _ in range(3)]
    assert back == plans[2::-1]
    assert editor.draft.undo == ""
    assert not editor.draft.unpublished

    forth = [editor.redo().draft.snapshot for _ in range(3)]
    assert forth == plans[1:]
    assert editor.draft.redo == ""


def test_there_is_an_end_to_undo_and_to_redo(editor):
    with pytest.raises(BlockError, match="nothing to undo"):
        editor.undo()
    editor.change(targets="4-4")
    with pytest.raises(BlockError, match="nothing to redo"):
        editor.redo()


def test_a_new_edit_after_undoing_a_published_one_keeps_both_in_the_list(block, editor):
    start = editor.draft.snapshot
    editor.change(targets="4-4")
    editor.publish()
    published = editor.look().snapshot
    editor.undo()
    editor.change(1, targets="5-5")
    after = editor.draft.snapshot

    assert len(editor.draft.unpublished) == 2
    assert editor.undo().draft.snapshot == start
    assert editor.undo().draft.snapshot == published
    assert not editor.draft.unpublished
    assert editor.undo().draft.snapshot == start
    for _ in range(3):
        editor.redo()
    assert editor.draft.snapshot == after


def test_a_draft_block_is_edited_and_then_published_in_one_way(cleo, today, ana):
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    editor = Editor(draft, today, ana)
    editor.change(targets="4-4")

    version = editor.publish()

    draft.refresh_from_db()
    assert draft.published_at is not None
    assert (version.number, version.what) == (1, "Published")
    assert snapshot_of(draft) == editor.draft.snapshot


def test_letting_changes_go_can_be_taken_back(block, editor):
    start = editor.draft.snapshot
    editor.change(targets="4-4")
    changed = editor.draft.snapshot

    editor.discard()
    assert editor.draft.snapshot == start
    assert not editor.draft.unpublished

    editor.undo()
    assert editor.draft.snapshot == changed
    assert len(editor.draft.unpublished) == 1
    assert editor.publish().snapshot == changed


def test_discarding_a_draft_block_removes_its_working_copy(cleo, today, ana):
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    editor = Editor(draft, today, ana)
    editor.change(targets="4-4")

    draft.delete()

    assert not KeptEdit.objects.exists()
    assert not Block.objects.exists()


def test_an_edit_takes_the_same_few_queries_however_much_was_edited(
    editor, django_assert_num_queries
):
    # The working copy, the plan in the rows, the exercises, the row and the log; the last two
    # open and close the transaction.
    with django_assert_num_queries(5 + 2):
        editor.change(targets="3-3")
    for reps in (4, 5, 6):
        # The working copy, the exercises, the row, the log and what is unpublished.
        with django_assert_num_queries(5 + 2):
            editor.change(targets=f"{reps}-{reps}")
    with django_assert_num_queries(2):
        editor.look()


def test_an_edit_of_a_draft_that_nobody_has_seen_outlives_its_day(cleo, ana, today):
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")
    block = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    editor = Editor(block, today, ana)
    uid = editor.lines()[0]
    editor.change(targets="3-3-3")

    later = Editor(block, today + timedelta(days=1), ana)
    assert targets_of(later.draft.snapshot, uid) == [3, 3, 3]
    later.act(act="start-later")
    later.publish()

    assert targets_of(snapshot_of(block), uid) == [3, 3, 3]


def test_unlocking_an_exercise_of_a_locked_session_unlocks_the_session(editor):
    session = editor.draft.snapshot["weeks"][1]["sessions"][0]
    editor.act(act="lock", session=session["uid"])

    done = editor.act(act="unlock", line=session["pairs"][0]["lines"][0]["uid"])

    assert "locked" not in done.draft.snapshot["weeks"][1]["sessions"][0]
