"""Windows that edit one block at the same moment: one edit goes in, all others are kept."""

import threading
from contextlib import suppress
from datetime import timedelta

import pytest
from django.db import connection
from django.utils import timezone

from coaching.blocks.editing import draft_services
from coaching.blocks.editing.draft_services import Stale
from coaching.blocks.editing.publish_guard import refuse_unfit
from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, BlockEdit, BlockVersion, KeptEdit, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import change_targets
from coaching.blocks.target_changes import TargetChange
from tests.conftest import load_shared
from tests.factories.blocks import block_made, published_block
from tests.factories.clients import ClientFactory
from tests.factories.editor import Editor, targets_of

pytestmark = pytest.mark.django_db(transaction=True)
WINDOWS = 4


@pytest.fixture
def windows():
    load_shared()
    cleo = ClientFactory.create()
    today = cleo.local_date(timezone.now())
    block = published_block(cleo, today - timedelta(days=today.weekday()))
    return [Editor(block, today, cleo.coach) for _ in range(WINDOWS)]


def all_at_once(acts):
    """Do each act in a thread of its own; what is refused comes back, other faults are raised."""
    gate, refused, faults = threading.Barrier(len(acts)), [], []

    def do(act):
        gate.wait()
        try:
            act()
        except BlockError as error:
            refused.append(error)
        except Exception as fault:
            faults.append(fault)
        finally:
            connection.close()

    threads = [threading.Thread(target=do, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    return refused


def edits(windows, first):
    def change(window, reps):
        return lambda: window.change(targets=f"{reps}-{reps}")

    return [change(window, reps) for reps, window in enumerate(windows, start=first)]


def test_of_edits_at_the_same_moment_one_goes_in_and_the_others_are_kept(windows):
    block = windows[0].block

    for round_, first in enumerate((20, 40), start=1):
        refused = all_at_once(edits(windows, first))

        assert all(isinstance(error, Stale) for error in refused)
        assert len(refused) == WINDOWS - 1
        assert BlockEdit.objects.filter(draft__block=block).count() == round_
        assert KeptEdit.objects.filter(block=block).count() == round_ * (WINDOWS - 1)
        for window in windows:
            window.look()


def test_a_plan_that_is_published_several_times_at_once_is_one_version(windows):
    windows[0].change(targets="4-4")

    refused = all_at_once([window.publish for window in windows])

    assert len(refused) == WINDOWS - 1
    (version,) = BlockVersion.objects.filter(number=2)
    assert snapshot_of(windows[0].block) == version.snapshot == windows[0].look().snapshot


def test_a_decision_at_the_moment_of_publishing_is_not_written_over(windows):
    editor, block = windows[0], windows[0].block
    mine, theirs = editor.lines()[0], editor.lines()[1]
    editor.change(targets="4-4")
    planned = Prescription.objects.select_related("pair").get(uid=theirs)
    decision = TargetChange(planned.exercise_id, planned.pair.part, (9, 9, 9), 0)

    def decide():
        own = Block.objects.get(pk=block.pk)
        change_targets(
            block=own, changes=[decision], today=editor.today, by=editor.by, what="Decided"
        )

    assert all_at_once([editor.publish, decide]) == []

    plan = editor.look().snapshot
    assert targets_of(snapshot_of(block), theirs) == [9, 9, 9]
    assert targets_of(plan, theirs) == [9, 9, 9]
    assert targets_of(plan, mine) == [4, 4]
    assert editor.draft.clashes == ()


ROUNDS = 3
PATIENCE = 1.0
"""How long [s] the first waits for the second one after its look at the client's days."""


@pytest.mark.parametrize("round_", range(ROUNDS))
def test_of_two_drafts_for_the_same_days_published_at_once_one_is_refused(
    round_, windows, monkeypatch
):
    """Both looked at the days before either was written, where nothing held the second one up."""
    client, today, by = windows[0].block.client, windows[0].today, windows[0].by
    starts_on = today + timedelta(weeks=20 + round_)
    drafts = [block_made(client, starts_on) for _ in range(2)]
    met, look = threading.Barrier(2), refuse_unfit

    def look_and_wait(*args, **kwargs):
        look(*args, **kwargs)
        with suppress(threading.BrokenBarrierError):
            met.wait(PATIENCE)

    monkeypatch.setattr(draft_services, "refuse_unfit", look_and_wait)

    refused = all_at_once([Editor(one, today, by).publish for one in drafts])

    assert len(refused) == 1
    assert "still plans" in str(refused[0])
    published = Block.objects.filter(pk__in=[one.pk for one in drafts])
    assert published.filter(published_at__isnull=False).count() == 1
    assert BlockVersion.objects.filter(block__in=drafts, number=1).count() == 1
