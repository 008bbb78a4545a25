"""Undo takes back the coach's own edits; what was published meanwhile stays in the plan."""

from datetime import timedelta

import pytest

from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, BlockEdit
from coaching.blocks.plan_rows import snapshot_of
from tests.factories.blocks import published_block
from tests.factories.editor import Editor, changed_elsewhere, targets_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo, today) -> Block:
    return published_block(cleo, today - timedelta(days=today.weekday()), "beginner-full-body")


@pytest.fixture
def editor(block, today, ana):
    return Editor(block, today, ana)


@pytest.fixture
def decided(block, today, ana):
    """A decision that is published by another way than the editor."""

    def decide(editor, *reps, place=-1):
        changed_elsewhere(block, today, ana, targets=list(reps), place=place)
        editor.look()

    return decide


def places(editor):
    """The list of edits as undo meets it: what stands where."""
    rows = BlockEdit.objects.filter(draft__block=editor.block, place__isnull=False)
    return list(rows.order_by("place").values_list("act__act", flat=True))


def test_what_is_undone_beneath_a_decision_leaves_it_standing(block, editor, decided):
    editor.change(targets="4-4")
    editor.change(1, targets="5-5")
    decided(editor, 9)
    with_all = editor.draft.snapshot

    editor.undo()
    assert targets_of(editor.draft.snapshot, editor.lines()[-1]) == [9]
    assert targets_of(editor.draft.snapshot, editor.lines()[0]) == [4, 4]
    editor.undo()

    assert editor.draft.snapshot == snapshot_of(block)
    assert not editor.draft.is_changed
    assert (editor.draft.undo, editor.draft.unpublished) == ("", ())
    with pytest.raises(BlockError, match="nothing to undo"):
        editor.undo()
    editor.look()
    editor.redo()
    editor.redo()
    assert editor.draft.snapshot == with_all == editor.look().snapshot


def test_a_decision_on_the_very_value_comes_back_when_mine_is_undone(block, editor, decided):
    uid = editor.lines()[0]
    editor.change(targets="4-4")
    editor.change(1, targets="5-5")
    decided(editor, 9, place=0)
    told = editor.draft.clashes
    assert len(told) == 1

    editor.undo()
    assert editor.draft.clashes == told
    editor.undo()
    # Not the plan as it was before the decision: what the client sees by now.
    assert targets_of(editor.draft.snapshot, uid) == [9]
    assert editor.draft.clashes == ()
    assert editor.draft.snapshot == snapshot_of(block)

    editor.redo()
    assert targets_of(editor.draft.snapshot, uid) == [4, 4]
    assert editor.draft.clashes == told


def test_undo_goes_past_several_decisions_in_a_row(block, editor, decided):
    editor.change(targets="4-4")
    decided(editor, 8)
    editor.change(1, targets="5-5")
    decided(editor, 9)
    decided(editor, 7, place=2)
    end = editor.draft.snapshot

    editor.undo()
    editor.undo()

    assert editor.draft.snapshot == snapshot_of(block)
    assert places(editor) == ["merge", "merge", "merge", "change-line", "change-line"]
    editor.redo()
    editor.redo()
    assert editor.draft.snapshot == end
    editor.undo()
    editor.undo()
    assert editor.draft.snapshot == snapshot_of(block)


def test_a_published_edit_beneath_a_decision_is_taken_back_without_it(block, editor, decided):
    uid = editor.lines()[0]
    was = targets_of(editor.draft.snapshot, uid)
    editor.change(targets="4-4")
    editor.publish()
    editor.look()
    decided(editor, 9)

    editor.undo()

    assert targets_of(editor.draft.snapshot, uid) == was
    assert targets_of(editor.draft.snapshot, editor.lines()[-1]) == [9]
    assert [line.taken_back for line in editor.draft.unpublished] == [True]
    editor.change(1, targets="5-5")
    editor.undo()
    # The taking back stands in the list now, as an edit that can be undone.
    editor.undo()
    assert editor.draft.snapshot == snapshot_of(block)
    editor.undo()
    assert targets_of(editor.draft.snapshot, uid) == was
    assert targets_of(editor.draft.snapshot, editor.lines()[-1]) == [9]


def test_a_decision_of_what_i_had_edited_alike_is_not_undone_with_it(block, editor, decided):
    uid = editor.lines()[0]
    editor.change(targets="9-9")
    decided(editor, 9, 9, place=0)
    assert not editor.draft.is_changed

    editor.undo()

    assert targets_of(editor.draft.snapshot, uid) == [9, 9]
    assert not editor.draft.is_changed


def test_what_a_coach_does_after_undoing_beneath_a_decision_is_undone_plainly(
    block, editor, decided
):
    editor.change(targets="4-4")
    decided(editor, 9)
    editor.undo()
    editor.change(2, targets="6-6")
    assert not editor.draft.redo

    editor.undo()

    assert editor.draft.snapshot == snapshot_of(block)


def test_an_edit_that_was_not_published_before_its_day_is_told_once_and_falls_off(editor, today):
    first, last = editor.lines()[0], editor.lines()[-1]
    editor.change(targets="4-4")
    editor.change(-1, targets="5-5")
    days = {
        line["uid"]: session["on"]
        for week in editor.draft.snapshot["weeks"]
        for session in week["sessions"]
        for pair in session["pairs"]
        for line in pair["lines"]
    }
    editor.today = today.fromisoformat(days[first]) + timedelta(days=1)

    draft = editor.look()

    assert "4, Full body" in draft.left_out
    assert draft.left_out.endswith("not published before its day; left out")
    assert [line.what for line in draft.unpublished] == [draft.undo]
    assert targets_of(draft.snapshot, last) == [5, 5]
    assert editor.look().left_out == draft.left_out

    editor.undo()
    assert editor.draft.left_out == ""
    assert not editor.draft.is_changed
    assert editor.draft.undo == ""
    editor.redo()
    assert targets_of(editor.draft.snapshot, last) == [5, 5]
    editor.publish()
    assert editor.look().unpublished == ()


def test_where_nothing_else_was_edited_nothing_is_listed_any_more(editor, today):
    editor.change(targets="4-4")
    editor.today = today + timedelta(days=7)

    draft = editor.look()

    assert not draft.is_changed
    assert (draft.unpublished, draft.undo) == ((), "")
    assert draft.left_out


def test_undoing_a_published_edit_of_a_past_session_says_that_the_plan_stays(block, editor, today):
    editor.change(targets="4-4")
    editor.publish()
    editor.today = today + timedelta(days=7)
    editor.look()

    done = editor.undo()

    assert "past or begun by now: the plan stays as it is" in done.edited.what
    assert editor.look().left_out == ""
    assert editor.draft.snapshot == snapshot_of(block)
