"""Two windows on a working copy: the edit that came too late is kept until it is decided."""

import pytest

from coaching.blocks.editing.draft_services import Stale
from coaching.blocks.editing.plan_services import let_go, put_on_top, use_instead
from coaching.blocks.errors import BlockError
from coaching.blocks.models import KeptEdit
from coaching.blocks.plan_rows import snapshot_of
from tests.factories.editor import Editor, changed_elsewhere, kept_edit, targets_of

pytestmark = pytest.mark.django_db


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


@pytest.fixture
def kept(editor, ben):
    return kept_edit(editor, ben)


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
