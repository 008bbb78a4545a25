"""A load that nobody has chosen is told before publishing, and is chosen from there."""

from datetime import timedelta

import pytest

from clients.models import Equipment
from coaching.blocks.models import BlockTemplate
from coaching.blocks.services import create_block_from_template
from coaching.rules.plan import EquipmentKind
from tests.coaching.block_page.acting import act, lines, open_page

pytestmark = pytest.mark.django_db


@pytest.fixture
def draft(ana, cleo, today):
    """A draft from a template whose weights stand at 0, for a client who has no loads known."""
    for kind in EquipmentKind:
        Equipment.objects.create(client=cleo, kind=kind.value)
    cleo.level, cleo.minutes = "intermediate", 120
    cleo.save()
    return create_block_from_template(
        client=cleo,
        template=BlockTemplate.objects.get(coach=None, key="upper-body-weights"),
        starts_on=today + timedelta(days=1),
        by=ana,
        adapt=True,
    )


def finding_of(page, session):
    """The part of the page that asks for the loads of a session, up to its end."""
    found = page.content.decode().split(f"{session}: choose the load")
    return found[1][:3000] if len(found) > 1 else ""


def open_lines(block):
    return [
        one
        for one in lines(block)
        if one["load_kg"] == 0 and ("Dumbbell" in one["name"] or "Barbell" in one["name"])
    ]


def test_a_template_with_loads_to_find_says_so_on_the_page_and_at_publishing(ana, draft):
    page = open_page(ana, draft)

    (first, *_) = open_lines(draft)
    session = draft.weeks.get(number=1).planned_sessions.order_by("on")[0]
    told = finding_of(page, session.name)
    assert first["name"] in told
    assert f'data-opens-line="{first["uid"]}"' in told
    assert "Nothing to look at" not in page.content.decode()
    dialog = page.content.decode().split("No load chosen yet:")[1]
    assert first["name"] in dialog.split("</p>")[0]


def test_what_is_chosen_goes_on_to_the_light_week_and_is_asked_for_no_more(ana, draft):
    first = open_lines(draft)[0]
    pointed = f'data-opens-line="{first["uid"]}"'
    before = open_page(ana, draft).content.decode()

    answer = act(
        ana,
        draft,
        act="change-line",
        line=first["uid"],
        load_kg="20",
        reach="onward",
    )

    assert answer.status_code == 200
    assert pointed in before
    assert pointed not in open_page(ana, draft).content.decode()
    chosen = [one["load_kg"] for one in lines(draft) if one["name"] == first["name"]]
    assert chosen.count(20) == draft.weeks.count()


def test_the_panel_of_a_load_to_choose_begins_at_the_load(ana, draft):
    first = open_lines(draft)[0]

    panel = open_page(ana, draft, f"?week=1&line={first['uid']}").content.decode()

    field = panel.split('name="load_kg"')[1].split(">")[0]
    assert "autofocus" in field
    assert "not chosen yet" in panel


def test_paper_has_a_place_for_a_load_that_nobody_chose(ana, draft):
    (first, *_) = open_lines(draft)

    row = open_page(ana, draft, "?week=1").text.split(f'data-at="{first["uid"]}"')[1]

    assert "block-load-to-find" in row.split("</ol>")[0]
