"""The working copy of a block: edited, taken back, published, and kept when two windows meet."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.urls import reverse

from clients.models import JointLimit
from coaching.blocks.editing.draft_services import Stale
from coaching.blocks.editing.plan_services import go_back, let_go, put_on_top, use_instead
from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, BlockTemplate, KeptEdit, PlannedSession
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import create_block_from_template, discard_draft, undo_version
from coaching.library.queries import exercise_values
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.editor import Editor, changed_elsewhere, targets_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo, today) -> Block:
    return published_block(cleo, today - timedelta(days=today.weekday()), "beginner-full-body")


@pytest.fixture
def editor(block, today, ana):
    return Editor(block, today, ana)


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


def test_a_stale_window_overwrites_nothing_and_its_edit_is_kept(block, editor, today, ana, ben):
    other = Editor(block, today, ben)
    editor.change(targets="4-4")

    with pytest.raises(Stale) as stale:
        other.change(1, targets="5-5")

    uid = other.lines()[1]
    kept = KeptEdit.objects.get(block=block)
    assert targets_of(kept.plan, uid) == [5, 5]
    assert [line.by for line in stale.value.meanwhile] == ["Ana Ferro"]
    assert stale.value.kept is not None
    assert stale.value.kept.by == "Ben Osei"
    assert editor.look().kept == (stale.value.kept,)
    assert targets_of(editor.draft.snapshot, uid) != [5, 5]


def test_a_window_that_saw_an_older_published_plan_is_stale_too(block, editor, today, ana):
    changed_elsewhere(block, today, ana, targets=[9, 9])

    with pytest.raises(Stale) as stale:
        editor.change(targets="4-4")

    assert [line.what for line in stale.value.meanwhile] == ["Review decided"]
    assert KeptEdit.objects.get(block=block).plan != snapshot_of(block)


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


def test_discarding_a_draft_block_removes_its_working_copy(cleo, today, ana):
    template = BlockTemplate.objects.get(key="first-block-floor")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    editor = Editor(draft, today, ana)
    editor.change(targets="4-4")

    draft.delete()

    assert not KeptEdit.objects.exists()
    assert not Block.objects.exists()


@pytest.fixture
def kept(block, editor, today, ben):
    """What another window changed on a plan in which the first line had changed meanwhile."""
    other = Editor(block, today, ben)
    editor.change(targets="4-4")
    with pytest.raises(Stale):
        other.change(1, targets="5-5")
    editor.look()
    return KeptEdit.objects.get(block=block)


def decide(service, kept, editor):
    return service(kept=kept, revision=editor.draft.revision, today=editor.today, by=editor.by)


def test_a_kept_edit_can_be_put_on_top_of_the_plan_as_it_is(editor, kept):
    first, second = editor.lines()[:2]

    plan = decide(put_on_top, kept, editor).draft.snapshot

    assert targets_of(plan, first) == [4, 4]
    assert targets_of(plan, second) == [5, 5]
    assert not editor.look().kept
    assert len(editor.draft.unpublished) == 2


def test_a_kept_edit_can_take_the_place_of_what_others_did_and_back(editor, kept):
    before = editor.draft.snapshot

    plan = decide(use_instead, kept, editor).draft.snapshot

    assert plan == kept.plan
    editor.look()
    assert editor.undo().draft.snapshot == before


def test_a_kept_edit_that_is_let_go_stays_on_record_and_is_decided_once(editor, kept):
    let_go(kept=kept)

    assert not editor.look().kept
    kept.refresh_from_db()
    assert (kept.decision, bool(kept.decided_at)) == ("let go", True)
    for service in (put_on_top, use_instead):
        with pytest.raises(BlockError, match="decided"):
            decide(service, kept, editor)


def test_a_kept_edit_that_no_longer_goes_there_stays_kept(editor, kept):
    kept.act = {**kept.act, "line": "00000000-0000-4000-8000-000000000000"}
    kept.save()

    with pytest.raises(BlockError, match="no longer"):
        decide(put_on_top, kept, editor)

    assert len(editor.look().kept) == 1


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


def test_what_clashed_is_no_longer_told_once_the_changes_are_let_go(block, editor, today, ana):
    editor.change(targets="4-4")
    changed_elsewhere(block, today, ana, targets=[9, 9], place=0)
    assert editor.look().clashes

    editor.discard()

    assert editor.look().clashes == ()
    assert editor.change(1, targets="5-5").draft.clashes == ()


def test_an_edit_of_a_draft_that_nobody_has_seen_outlives_its_day(cleo, ana, today):
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")
    block = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    editor = Editor(block, today, ana)
    uid = editor.lines()[0]
    editor.change(targets="3-3-3")

    later = Editor(block, today + timedelta(days=1), ana)
    assert targets_of(later.draft.snapshot, uid) == [3, 3, 3]
    later.publish()

    assert targets_of(snapshot_of(block), uid) == [3, 3, 3]


def test_unlocking_an_exercise_of_a_locked_session_unlocks_the_session(editor):
    session = editor.draft.snapshot["weeks"][1]["sessions"][0]
    editor.act(act="lock", session=session["uid"])

    done = editor.act(act="unlock", line=session["pairs"][0]["lines"][0]["uid"])

    assert "locked" not in done.draft.snapshot["weeks"][1]["sessions"][0]


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
