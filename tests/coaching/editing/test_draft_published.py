"""The working copy of a block meets what is published: by it, and beside it."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.urls import reverse

from clients.models import JointLimit
from coaching.blocks.editing.plan_services import go_back
from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, BlockTemplate, PlannedSession
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import create_block_from_template, discard_draft, undo_version
from coaching.library.queries import exercise_values
from tests.conftest import signed_in
from tests.factories.editor import Editor, changed_elsewhere, targets_of

pytestmark = pytest.mark.django_db


def test_publishing_is_one_version_with_who_what_and_why(block, editor, ana):
    editor.change(targets="4-4")
    editor.change(1, targets="5-5")

    version = editor.publish(why="Shoulder is better")

    assert snapshot_of(block) == version.snapshot == editor.look().snapshot
    assert (version.by, version.why, version.number) == (ana, "Shoulder is better", 2)
    assert "4" in version.what
    assert ";" in version.what
    assert not editor.draft.is_changed
    assert not editor.draft.unpublished
    with pytest.raises(BlockError, match="nothing to publish"):
        editor.publish()


def test_undo_goes_on_past_a_publishing(block, editor):
    start = editor.draft.snapshot
    editor.change(targets="4-4")
    editor.publish()
    editor.look()

    editor.undo()

    assert editor.draft.snapshot == start
    assert [line.taken_back for line in editor.draft.unpublished] == [True]
    assert snapshot_of(block) != start
    version = editor.publish()
    assert snapshot_of(block) == start
    assert "2 × 4 →" in version.what


def test_what_is_published_meanwhile_is_merged_in_and_says_so(block, editor, today, ana):
    first, last = editor.lines()[0], editor.lines()[-1]
    editor.change(targets="4-4")
    changed_elsewhere(block, today, ana, targets=[9, 9])

    editor.look()

    assert targets_of(editor.draft.snapshot, first) == [4, 4]
    assert targets_of(editor.draft.snapshot, last) == [9, 9]
    assert editor.draft.last == "Published meanwhile: Review decided"
    assert not editor.draft.clashes
    (own,) = editor.draft.unpublished
    assert editor.draft.undo == own.what


def test_a_clash_keeps_the_coachs_value_and_is_told(block, editor, today, ana):
    uid = editor.lines()[0]
    editor.change(targets="4-4")
    changed_elsewhere(block, today, ana, place=0, targets=[9, 9])

    editor.look()

    assert targets_of(editor.draft.snapshot, uid) == [4, 4]
    assert editor.draft.clashes
    editor.publish()
    assert not editor.look().clashes


def test_a_published_version_undone_elsewhere_is_taken_over(block, editor, today, ana):
    start = editor.draft.snapshot
    editor.change(targets="4-4")
    version = editor.publish()

    undo_version(version=version, today=today, by=ana)

    assert editor.look().snapshot == start
    assert not editor.draft.is_changed


def test_past_and_begun_sessions_stay_as_they_are_published(block, editor, today):
    editor.change(targets="4-4")
    session = PlannedSession.objects.filter(week__block=block, on__gte=today).order_by("on")[0]
    begun = snapshot_of(block)
    session.started_at = "2026-03-11T10:00:00Z"
    session.save()

    editor.look()
    assert editor.draft.snapshot == begun
    with pytest.raises(BlockError, match="begun"):
        editor.act(
            act="change-line",
            line=str(session.pairs.all()[0].prescriptions.all()[0].uid),
            targets="7-7",
        )


def test_any_version_can_be_gone_back_to_as_an_edit(block, editor):
    start = editor.draft.snapshot
    editor.change(targets="4-4")
    editor.publish()
    editor.look()
    changed = editor.draft.snapshot
    first = block.versions.get(number=1)

    done = go_back(version=first, revision=editor.draft.revision, today=editor.today, by=editor.by)

    assert done.draft.snapshot == start
    assert snapshot_of(block) == changed
    editor.look()
    with pytest.raises(BlockError, match="like that already"):
        go_back(version=first, revision=editor.draft.revision, today=editor.today, by=editor.by)
    editor.publish()
    assert snapshot_of(block) == start


def test_what_clashed_is_no_longer_told_once_the_changes_are_let_go(block, editor, today, ana):
    editor.change(targets="4-4")
    changed_elsewhere(block, today, ana, targets=[9, 9], place=0)
    assert editor.look().clashes

    editor.discard()

    assert editor.look().clashes == ()
    assert editor.change(1, targets="5-5").draft.clashes == ()


def test_a_session_moved_to_a_day_on_which_it_is_avoided_is_not_published(
    block, editor, cleo, today
):
    session = editor.draft.snapshot["weeks"][1]["sessions"][-1]
    used = {line["exercise"] for pair in session["pairs"] for line in pair["lines"]}
    stress = next(s for one in exercise_values(used).values() for s in one.joint_stresses)
    on = date.fromisoformat(session["on"])
    JointLimit.objects.create(client=cleo, stress=stress, action="avoid", since=today, until=on)
    editor.act(act="move-session", session=session["uid"], on=str(on - timedelta(days=1)))

    with pytest.raises(BlockError, match=rf"loads {stress}"):
        editor.publish()


def test_a_page_from_before_the_publishing_discards_nothing_and_publishes_nothing_again(
    cleo, ana, today
):
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")
    block = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    other = Block.objects.get(pk=block.pk)
    Editor(other, today, ana).publish()

    with pytest.raises(BlockError, match="published block cannot be discarded"):
        discard_draft(block=block)
    with pytest.raises(BlockError, match="nothing to publish"):
        Editor(block, today, ana).publish()

    assert other.versions.count() == 1


def test_the_dialog_names_what_differs_and_not_each_edit(block, editor, ana, today, monkeypatch):
    noon = datetime.combine(today, time(12), UTC)
    monkeypatch.setattr("django.utils.timezone.now", lambda: noon)
    for reps in ("4-4", "5-5", "6-6"):
        editor.change(targets=reps)
    editor.change(1, targets="7-7")
    editor.undo()

    page = signed_in(ana).get(reverse("blocks:block", args=[block.pk])).context["page"]

    assert page.unpublished == 1
    assert "→ 2 × 6" in page.to_publish[0]


def test_two_blocks_on_the_same_days_are_not_both_published(block, cleo, ana, today):
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")
    other = create_block_from_template(
        client=cleo, template=template, starts_on=today + timedelta(days=7), by=ana
    )

    with pytest.raises(BlockError, match=r"Block 1 still plans \d+ sessions on these days"):
        Editor(other, today, ana).publish()

    assert Block.objects.get(pk=other.pk).published_at is None


def test_an_edit_over_undone_published_edits_takes_the_same_queries_however_many(
    editor, django_assert_max_num_queries
):
    for reps in range(4, 14):
        editor.change(targets=f"{reps}-{reps}")
    editor.publish()
    editor.look()
    for _ in range(10):
        editor.undo()

    # The usual seven, what was undone and its undos read, and their places written.
    with django_assert_max_num_queries(7 + 6):
        editor.change(targets="3-3")

    for _ in range(11):
        editor.undo()
    assert targets_of(editor.draft.snapshot, editor.lines()[0]) == [13, 13]
