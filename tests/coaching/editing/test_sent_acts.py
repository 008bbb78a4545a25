"""An act whose answer was lost: sent once more it is not done twice, and nobody's conflict."""

from uuid import UUID

import pytest

from coaching.blocks.editing.draft_services import Stale, edit_block
from coaching.blocks.editing.sent_acts import Sent
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockEdit, KeptEdit
from coaching.blocks.views.sent import sent_in
from tests.factories.editor import Editor, changed_elsewhere, targets_of

pytestmark = pytest.mark.django_db
WINDOW, OTHER = UUID(int=1), UUID(int=2)


class Window(Editor):
    """A window that says which act it sends, and that may lose the answer."""

    page, number = WINDOW, 0

    def _done(self, service, *, is_lost=False, is_again=False, **more):
        self.number += not is_again
        seen = self.draft
        done = super()._done(service, sent=Sent(self.page, self.number), **more)
        if is_lost:
            self.draft = seen
        return done

    def put(self, place=0, *, is_lost=False, is_again=False, **fields):
        raw = {"act": "change-line", "line": self.lines()[place], **fields}
        return self._done(edit_block, raw=raw, is_lost=is_lost, is_again=is_again)


@pytest.fixture
def window(block, today, ana):
    return Window(block, today, ana)


@pytest.fixture
def other(block, today, ben):
    made = Window(block, today, ben)
    made.page = OTHER
    return made


def edits(block):
    return BlockEdit.objects.filter(draft__block=block).count()


def test_an_act_sent_again_is_answered_with_what_was_done_and_done_once(window, block):
    uid = window.lines()[0]
    before = window.draft.snapshot
    window.put(targets="4-4", is_lost=True)

    done = window.put(targets="4-4", is_again=True)

    assert edits(block) == 1
    assert not KeptEdit.objects.exists()
    assert targets_of(done.draft.snapshot, uid) == [4, 4]
    # It is told beside the plan that the window saw, so that the page shows what changed.
    assert done.before == before
    assert "2 × 4" in done.edited.what
    assert len(done.edited.touched) == 1


def test_an_undo_sent_again_takes_one_edit_back(window, block):
    window.put(targets="4-4")
    first = window.draft.snapshot
    window.put(targets="5-5")
    seen = window.draft
    window.undo()
    window.draft, window.number = seen, window.number - 1

    done = window.undo()

    assert done.draft.snapshot == first
    assert edits(block) == 3


def test_a_discard_sent_again_is_told_and_not_refused(window, block):
    window.put(targets="4-4")
    seen = window.draft
    window.discard()
    window.draft, window.number = seen, window.number - 1

    done = window.discard()

    assert done.edited.what.startswith("Discarded")
    assert edits(block) == 2


def test_the_act_after_a_lost_answer_goes_on_top_of_the_windows_own(window, block):
    first, second = window.lines()[:2]
    before = window.draft.snapshot
    window.put(targets="4-4", is_lost=True)

    done = window.put(1, targets="5-5")

    assert not KeptEdit.objects.exists()
    plan = done.draft.snapshot
    assert (targets_of(plan, first), targets_of(plan, second)) == ([4, 4], [5, 5])
    assert done.before == before


def test_what_another_window_did_meanwhile_is_a_conflict_all_the_same(window, other, block):
    window.put(targets="4-4", is_lost=True)
    other.look()
    other.put(1, targets="6-6")

    with pytest.raises(Stale):
        window.put(2, targets="5-5")

    assert KeptEdit.objects.count() == 1
    assert edits(block) == 2


def test_the_lost_act_itself_is_told_though_another_window_went_on_from_it(window, other, block):
    first, second = window.lines()[:2]
    window.put(targets="4-4", is_lost=True)
    other.look()
    other.put(1, targets="6-6")

    plan = window.put(targets="4-4", is_again=True).draft.snapshot

    assert (targets_of(plan, first), targets_of(plan, second)) == ([4, 4], [6, 6])
    assert (edits(block), KeptEdit.objects.count()) == (2, 0)


def test_an_act_that_was_kept_for_a_decision_is_kept_once(window, other):
    other.put(1, targets="6-6")

    for is_again in (False, True):
        with pytest.raises(Stale) as stale:
            window.put(targets="4-4", is_again=is_again)
        assert stale.value.kept is not None

    assert KeptEdit.objects.count() == 1


def test_what_is_published_by_another_way_is_a_conflict_for_the_window(window, block, today, ana):
    window.put(targets="4-4", is_lost=True)
    changed_elsewhere(block, today, ana, targets=[9, 9])

    with pytest.raises(Stale):
        window.put(1, targets="5-5")


def test_without_an_id_a_window_that_saw_less_is_stale(window, editor):
    seen = editor.look()
    editor.change(targets="4-4")
    editor.draft = seen

    with pytest.raises(Stale):
        editor.change(1, targets="5-5")


def test_an_act_that_is_refused_may_be_sent_again(window, block):
    for is_again in (False, True):
        with pytest.raises(BlockError, match="no number"):
            window.put(targets="no number", is_again=is_again)

    assert edits(block) == 0


@pytest.mark.parametrize(
    ("text", "sent"),
    [
        (f"{WINDOW}.7", Sent(WINDOW, 7)),
        ("", None),
        ("7", None),
        (f"{WINDOW}", None),
        (f"{WINDOW}.", None),
        (f"{WINDOW}.-1", None),
        (f"{WINDOW}.12345678901", None),
        ("no window.7", None),
    ],
)
def test_what_is_no_id_of_an_act_is_none(text, sent):
    assert sent_in(text) == sent
