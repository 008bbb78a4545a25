"""Whatever is edited, taken back, published and merged: no state and no act is lost."""

import json
from contextlib import suppress
from datetime import timedelta
from random import Random

import pytest
from django.db import transaction
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from clients.models import Equipment
from coaching.blocks.editing.draft_services import Stale
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockEdit, KeptEdit, PlannedSession, Week
from coaching.blocks.plan_field import kept_plans
from coaching.blocks.plan_rows import snapshot_of
from coaching.rules.plan import EquipmentKind
from tests.coaching.editing.drawn_plans import drawn_act
from tests.factories.blocks import published_block
from tests.factories.editor import Editor, changed_elsewhere

pytestmark = pytest.mark.django_db

STEPS = st.lists(
    st.tuples(
        st.sampled_from(
            ["change", "any", "any", "undo", "undo", "redo", "publish", "elsewhere", "let go"]
        ),
        st.integers(0, 60),
        st.integers(1, 20),
    ),
    max_size=10,
)
# Each example is a history of its own: what it wrote is rolled back at its end.
HISTORIES = settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])


@pytest.fixture
def block(cleo, today):
    """Two weeks of a block: short, so that many histories can be tried; nothing is missing."""
    Equipment.objects.bulk_create(Equipment(client=cleo, kind=kind) for kind in EquipmentKind)
    made = published_block(cleo, today - timedelta(days=today.weekday()), "beginner-full-body")
    Week.objects.filter(block=made, number__gt=2).delete()
    made.versions.update(snapshot=snapshot_of(made))
    return made


@pytest.fixture(autouse=True)
def _plans_stay():
    """No plan that was read or written is changed in place: each is still what its text says."""
    yield
    for text, plan in kept_plans():
        assert plan == json.loads(text)


def step(editor, what, place, number):
    """One thing that a coach or the practice does; what is refused changes nothing."""
    lines = editor.lines()
    with suppress(BlockError):
        match what:
            case "change":
                reach = "onward" if number % 2 else "week"
                editor.change(place % len(lines), targets=f"{number}-{number}", reach=reach)
            case "any":
                chance = Random(place * 100 + number)  # noqa: S311 - chance, not secrecy
                editor.act(**drawn_act(chance, editor.draft.snapshot))
            case "undo":
                editor.undo()
            case "redo":
                editor.redo()
            case "let go":
                editor.discard()
            case "publish":
                editor.publish()
                editor.look()
            case "elsewhere":
                changed_elsewhere(
                    editor.block, editor.today, editor.by, place=place % 5, targets=[number]
                )
                editor.look()


def undone(editor):
    """How often undo goes back."""
    count = 0
    while editor.draft.undo:
        editor.undo()
        count += 1
    return count


@given(steps=STEPS)
@HISTORIES
def test_undo_all_restores_the_plan_and_redo_all_brings_it_back(block, today, ana, steps):
    """Undone are the coach's edits: what was published meanwhile by another way stays."""
    done = {what for what, _, _ in steps}
    with transaction.atomic():
        editor = Editor(block, today, ana)
        start = editor.draft.snapshot
        editor.change(targets="19-19")
        for what, place, number in steps:
            step(editor, what, place, number)
        end, clashes = editor.draft.snapshot, editor.draft.clashes

        count = undone(editor)
        if "elsewhere" not in done:
            assert editor.draft.snapshot == start
        elif "publish" not in done:
            assert editor.draft.snapshot == snapshot_of(block)
        for _ in range(count):
            editor.redo()

        assert editor.draft.snapshot == end
        assert editor.look().snapshot == end
        assert sorted(editor.draft.clashes) == sorted(clashes)
        transaction.set_rollback(True)


@given(steps=STEPS)
@HISTORIES
def test_what_is_said_to_be_unpublished_is_what_differs(block, today, ana, steps):
    with transaction.atomic():
        editor = Editor(block, today, ana)
        for what, place, number in steps:
            step(editor, what, place, number)
            assert editor.draft.base == snapshot_of(block)
            assert bool(editor.draft.unpublished) >= editor.draft.is_changed
        with suppress(BlockError):
            editor.publish()
        assert editor.look().snapshot == snapshot_of(block)
        assert not editor.draft.unpublished
        transaction.set_rollback(True)


@given(
    posts=st.lists(
        st.tuples(st.integers(0, 1), st.booleans(), st.integers(0, 60), st.integers(21, 99)),
        max_size=8,
        unique_by=lambda post: post[3],
    )
)
@HISTORIES
def test_of_two_windows_no_act_is_lost(block, today, ana, ben, posts):
    with transaction.atomic():
        windows = Editor(block, today, ana), Editor(block, today, ben)
        taken, kept = [], []
        for which, looks_first, at, number in posts:
            window = windows[which]
            if looks_first:
                window.look()
            place = at % len(window.lines())
            targets = f"{number}-{number}"
            if window.draft.revision != Editor(block, today, ana).draft.revision:
                with pytest.raises(Stale) as stale:
                    window.change(place, targets=targets)
                assert stale.value.meanwhile
                assert stale.value.kept is not None
                kept.append(stale.value.kept.what)
            else:
                taken.append(window.change(place, targets=targets).edited.what)

        log = BlockEdit.objects.filter(draft__block=block).order_by("revision")
        assert [edit.what for edit in log] == taken
        assert [edit.what for edit in KeptEdit.objects.filter(block=block).order_by("pk")] == kept
        assert [one.what for one in windows[0].look().unpublished] == (
            taken if windows[0].draft.is_changed else []
        )
        transaction.set_rollback(True)


@given(steps=STEPS, begun=st.integers(0, 8), days=st.integers(0, 10))
@example(steps=[("any", 15, 10)], begun=0, days=6)
@HISTORIES
def test_publishing_never_changes_what_is_past_or_begun(block, today, ana, steps, begun, days):
    with transaction.atomic():
        editor = Editor(block, today, ana)
        for what, place, number in steps:
            step(editor, what, place, number)
        coming = PlannedSession.objects.filter(week__block=block, on__gte=today).order_by("on")
        PlannedSession.objects.filter(pk=coming[begun % len(coming)].pk).update(
            started_at="2026-03-11T10:00:00Z"
        )
        editor.today = today + timedelta(days=days)
        stands = fixed_sessions(block, editor.today)

        with suppress(BlockError):
            editor.publish()

        assert fixed_sessions(block, editor.today) == stands
        assert editor.look().snapshot == snapshot_of(block)
        transaction.set_rollback(True)


def fixed_sessions(block, today):
    """What stands in the rows of past and begun sessions, with their weeks."""
    uids = {
        str(row.uid)
        for row in PlannedSession.objects.filter(week__block=block)
        if row.on < today or row.started_at
    }
    return [
        (week["starts_on"], week["kind"], session)
        for week in snapshot_of(block)["weeks"]
        for session in week["sessions"]
        if session["uid"] in uids
    ]
