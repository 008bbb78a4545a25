"""When equipment goes, the block says so: in what is found, at its place, and before publishing."""

import pytest
from django.urls import reverse
from django.utils import timezone

from clients.models import Equipment, JointLimit
from coaching.blocks.editing.draft_services import Stale
from coaching.library.models import Exercise
from coaching.rules.findings import FindingKind
from coaching.rules.plan import EquipmentKind
from tests.clients.conftest import HTMX
from tests.coaching.block_page.acting import act
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.editor import Editor

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(cleo):
    return cleo.local_date(timezone.now())


@pytest.fixture
def editor(cleo, today, ana):
    """A published block with one exercise in it that needs a leg machine; all equipment is there."""
    cleo.equipment.all().delete()
    Equipment.objects.bulk_create(Equipment(client=cleo, kind=kind) for kind in EquipmentKind)
    editor = Editor(published_block(cleo, today, "beginner-full-body"), today, ana)
    needing = Exercise.objects.filter(coach=None, equipment=["leg machine"]).order_by("key")[0]
    editor.act(act="swap-line", line=editor.lines()[0], exercise=str(needing.pk))
    editor.publish()
    editor.look()
    return editor


def opened(editor, **asked):
    return signed_in(editor.by).get(reverse("blocks:block", args=[editor.block.pk]), asked)


def lacking(page):
    found = page.context["page"].effects.findings
    return [one for one in found if one.finding.kind is FindingKind.EQUIPMENT]


def test_equipment_that_went_is_found_and_told_at_its_place_and_before_publishing(editor, cleo):
    assert lacking(opened(editor, week="1")) == []
    cleo.equipment.filter(kind="leg machine").delete()
    editor.change(1, targets="7 7 7")

    page = opened(editor, week="1")

    (told,) = lacking(page)
    assert told.finding.sentence == "There is no leg machine: 1 exercise needs one."
    assert "Needs a leg machine, which is not there" in page.text
    (needed,) = page.context["page"].needed
    assert needed.words == "There is no leg machine: 1 exercise needs one in week 1"
    assert f"{needed.words} ({needed.names[0]}). If you publish it so, " in page.text
    editor.publish()
    assert not page.context["page"].missing


def edited(editor, targets):
    """The answer to an edit on a page that was opened before."""
    return act(editor.by, editor.block, act="change-line", line=editor.lines()[1], targets=targets)


def test_an_edit_tells_what_went_since_its_page_was_opened_and_what_came_back(editor, cleo):
    opened(editor, week="1")
    cleo.equipment.filter(kind="leg machine").delete()

    gone = edited(editor, "7 7 7")
    Equipment.objects.create(client=cleo, kind="leg machine")
    back = edited(editor, "8 8 8")

    assert len(lacking(gone)) == 1
    assert len(gone.context["page"].needed) == 1
    assert lacking(back) == []
    assert back.context["page"].needed == ()


def test_an_edit_tells_which_loads_the_weights_of_today_make(editor, cleo):
    squat = Exercise.objects.get(coach=None, key="goblet-squat")
    editor.act(act="swap-line", line=editor.lines()[0], exercise=str(squat.pk))
    cleo.equipment.filter(kind="dumbbells").update(pieces=[10, 12])
    editor.act(act="change-line", line=editor.lines()[0], load_kg="12")
    opened(editor, week="1")
    cleo.equipment.filter(kind="dumbbells").update(pieces=[10, 14])
    cleo.equipment.filter(kind="kettlebells").delete()

    told = [
        one.finding.sentence for one in edited(editor, "7 7 7").context["page"].effects.findings
    ]

    assert "12 kg cannot be made with the client's equipment, +10 kg or +14 kg can" in " ".join(
        told
    )


def test_no_remedy_brings_in_what_was_retired_before_the_page_was_opened(editor, cleo):
    cleo.equipment.filter(kind="leg machine").delete()
    (first,) = brought_in(opened(editor, week="1"))
    Exercise.objects.filter(pk=int(first)).update(retired_at=timezone.now())

    assert first not in brought_in(opened(editor, week="1"))


def brought_in(page):
    return [
        remedy.act.get("to") or remedy.act["exercise"]
        for placed in lacking(page)
        for remedy in placed.remedies
    ]


def test_the_panel_of_the_line_says_it_too(editor, cleo):
    cleo.equipment.filter(kind="leg machine").delete()

    page = opened(editor, week="1", line=editor.lines()[0])

    assert "Needs a leg machine, which is not there. Swap it, or remove it." in page.text


def test_the_intake_says_at_saving_what_needs_it_with_the_way_there(editor, cleo, ana):
    url = reverse("clients:save-equipment", args=[cleo.pk])

    asks = reverse("blocks:equipment-needed", args=[cleo.pk])
    before = signed_in(ana).get(asks, headers=HTMX)
    saved = signed_in(ana).post(url, {"rings": "on"}, headers=HTMX)
    gone = signed_in(ana).get(asks, headers=HTMX)

    assert "There is no leg machine" not in before.text
    # What was saved asks for it as soon as it is on the page.
    assert f'hx-get="{asks}"' in saved.text
    words = " ".join(gone.text.split())
    assert "Block 1:</strong> There is no leg machine: 1 exercise needs one in week 1" in words
    assert f"{reverse('blocks:block', args=[editor.block.pk])}?week=1" in gone.text


def test_publishing_names_joint_limits_that_nobody_decided(editor, cleo, today):
    row = Exercise.objects.get(
        pk=editor.draft.snapshot["weeks"][0]["sessions"][0]["pairs"][0]["lines"][0]["exercise"]
    )
    stress = row.joint_stresses[0]
    JointLimit.objects.create(client=cleo, stress=stress, action="avoid", since=today)
    editor.change(1, targets="7 7 7")

    dialog = opened(editor).text.partition('id="publish-dialog"')[2].partition("</dialog>")[0]

    assert f"Not decided:</strong> {row.name} loads {stress}" in dialog


def test_publishing_waits_once_for_a_change_of_another_window_that_it_was_not_told_of(
    editor, today, ana
):
    other = Editor(editor.block, today, ana)
    editor.change(1, targets="7 7 7")
    with pytest.raises(Stale):
        other.change(1, targets="5 5 5")
    url = reverse("blocks:publish-block", args=[editor.block.pk])
    said = {"revision": editor.draft.revision, "shown": "1"}

    first = signed_in(ana).post(url, {**said, "waiting": ""}, follow=True)

    assert "waits for a decision. Decide it, or publish once more without it." in first.text
    (kept,) = first.context["page"].conflict.waiting
    assert f'value="{kept.pk},"' in first.text
    assert f"is not part of it:</strong> {kept.edit.what}" in first.text
    again = signed_in(ana).post(url, {**said, "waiting": f"{kept.pk},"}, follow=True)
    assert "Published." in again.text
