"""What a client lacks the equipment for is told on the page before it is published, and refused."""

from datetime import timedelta

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse
from django.utils import timezone

from clients.models import Equipment
from coaching.blocks.editing.plan_services import go_back
from coaching.blocks.errors import BlockError
from coaching.blocks.models import BlockTemplate
from coaching.blocks.services import create_block_from_template
from coaching.blocks.snapshots import lines_of
from coaching.library.models import Exercise
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.editor import Editor

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(cleo):
    return cleo.local_date(timezone.now())


@pytest.fixture
def box(cleo):
    return Equipment.objects.create(client=cleo, kind="box or step")


@pytest.fixture
def needing(box):
    """An exercise for which a box is needed and nothing else."""
    rows = Exercise.objects.filter(coach=None, equipment=["box or step"])
    return rows.order_by("key")[0]


@pytest.fixture
def editor(cleo, today, ana, box):
    return Editor(published_block(cleo, today, "beginner-full-body"), today, ana)


def swap_in(editor, exercise, place=0):
    return editor.act(act="swap-line", line=editor.lines()[place], exercise=str(exercise.pk))


def page(editor):
    return signed_in(editor.by).get(reverse("blocks:block", args=[editor.block.pk]))


def test_a_version_with_what_the_client_no_longer_has_is_told_and_not_published(
    editor, needing, box
):
    swap_in(editor, needing)
    editor.publish()
    editor.look()
    editor.undo()
    editor.publish()
    editor.look()
    box.delete()
    version = editor.block.versions.get(number=2)
    assert page(editor).context["page"].missing == ()

    now = {"revision": editor.draft.revision, "today": editor.today, "by": editor.by}
    go_back(version=version, **now)

    answer = page(editor)
    (missing,) = answer.context["page"].missing
    assert missing.words.startswith(f"{needing.name} needs box or step: ")
    assert f"swap={missing.line}" in answer.text
    assert "add it to the equipment of Cleo" in answer.text
    assert f"{missing.words}. Cleo" in answer.text
    with pytest.raises(BlockError, match=rf"{needing.name} needs box or step.*swap it, or add it"):
        editor.publish()

    Equipment.objects.create(client=editor.block.client, kind="box or step")
    assert page(editor).context["page"].missing == ()
    editor.publish()


def test_what_stands_in_the_published_plan_is_not_refused(editor, needing, box):
    swap_in(editor, needing)
    editor.publish()
    editor.look()
    box.delete()

    editor.change(1, targets="4-4")

    assert page(editor).context["page"].missing == ()
    editor.publish()


def test_a_copied_session_brings_in_what_the_coming_ones_no_longer_ask(editor, needing, box):
    swap_in(editor, needing)
    editor.publish()
    session = next(s for s, _ in lines_of(editor.look().snapshot, since=editor.today))
    week = editor.draft.snapshot["weeks"][1]["starts_on"]
    box.delete()
    # A week later the session is past.
    editor.today += timedelta(days=7)
    on = editor.today + timedelta(days=6)
    editor.look()

    editor.act(act="copy-session", session=session["uid"], week=week, on=str(on))

    with pytest.raises(BlockError, match=rf"{session['name']} on {on:%-d %b}\. Cleo"):
        editor.publish()


def test_a_light_week_made_of_what_stands_brings_nothing_in(editor, needing, box):
    for place in (0, 1):
        editor.act(
            act="swap-line",
            line=editor.lines()[place],
            exercise=str(needing.pk),
            reach="onward",
        )
    editor.publish()
    editor.look()
    box.delete()

    editor.act(act="lighten-week", week=editor.draft.snapshot["weeks"][1]["starts_on"])

    assert page(editor).context["page"].missing == ()
    editor.publish()


def test_the_dialog_s_refusal_is_told_to_whoever_publishes_all_the_same(editor, needing, box):
    swap_in(editor, needing)
    box.delete()
    url = reverse("blocks:publish-block", args=[editor.block.pk])

    answer = signed_in(editor.by).post(url, {"revision": editor.draft.revision})

    (said,) = get_messages(answer.wsgi_request)
    assert "does not have that: swap it" in str(said)
    assert editor.block.versions.count() == 1


def test_an_edit_takes_the_notice_away_as_soon_as_it_is_settled(editor, needing, box):
    swap_in(editor, needing)
    box.delete()
    assert page(editor).context["page"].missing
    url = reverse("blocks:undo-edit", args=[editor.block.pk])

    answer = signed_in(editor.by).post(
        url, {"revision": editor.draft.revision}, headers={"HX-Request": "true"}
    )

    assert 'id="block-equipment"' in answer.text
    assert "lacks the equipment" not in answer.text


def test_the_first_publishing_asks_for_what_was_brought_in_since_the_block_was_made(
    cleo, ana, today, needing, box
):
    template = BlockTemplate.objects.get(coach=None, key="beginner-full-body")
    draft = create_block_from_template(client=cleo, template=template, starts_on=today, by=ana)
    editor = Editor(draft, today, ana)
    swap_in(editor, needing)
    box.delete()

    with pytest.raises(BlockError, match="needs box or step"):
        editor.publish()

    assert draft.versions.count() == 0
    editor.undo()
    editor.publish()
