"""From the list of templates to drafts for several clients, and from a block to a template."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from clients.services import set_equipment
from coaching.blocks.models import BlockTemplate
from tests.browser.conftest import PHONE, click_and_settle
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory


@pytest.fixture
def drew(ana):
    client = ClientFactory.create(coach=ana, name="Drew Salas", minutes=45)
    set_equipment(client=client, items=[{"kind": "rings", "pieces": []}])
    return client


def test_a_template_is_looked_at_for_two_clients_and_made_for_one(open_page, ana, cleo, drew):
    page = open_page(ana, reverse("blocks:templates"))
    page.get_by_role("link", name="Use for clients: Rings at home").click()
    page.get_by_role("checkbox", name="Cleo Brandt").check()
    page.get_by_role("checkbox", name="Drew Salas").check()
    click_and_settle(page, page.get_by_role("button", name="Look at each client"))

    look = page.get_by_role("region", name="Drew Salas", exact=True)
    expect(look.get_by_text("of 45 min").first).to_be_visible()
    look.get_by_text("to end on time").first.click()
    expect(look.get_by_text("would take").first).to_be_visible()
    page.get_by_role("checkbox", name="Make a draft for Cleo Brandt").uncheck()
    page.get_by_role("button", name="Make the drafts").click()

    expect(page.get_by_text("The draft for Drew Salas is made")).to_be_visible()
    assert drew.blocks.count() == 1
    assert not cleo.blocks.exists()


def test_drafts_for_several_lead_to_their_place_in_the_list(open_page, ana, cleo, drew):
    emil = ClientFactory.create(coach=ana, name="Emil Haas")
    template = BlockTemplate.objects.get(key="first-block-floor")
    address = reverse("blocks:apply-template", args=[template.pk])
    chosen = "&".join(f"clients={one.pk}" for one in (cleo, drew, emil))
    page = open_page(ana, f"{address}?{chosen}")

    # The button below all looks does what the one above them does.
    page.get_by_role("button", name="Make the drafts").last.click()

    drafts = page.get_by_role("region", name="Drafts", exact=True)
    expect(drafts.get_by_text("new", exact=True)).to_have_count(3)
    expect(page.get_by_role("heading", name="Drafts")).to_be_focused()
    link = page.get_by_role("link", name="They are marked as new")
    expect(link).to_have_attribute("href", re.compile(r"[?]new=[0-9,]+#drafts$"))


def test_a_block_becomes_a_template_that_is_removed_and_brought_back(open_page, ana, cleo):
    block = published_block(cleo, cleo.local_date(timezone.now()), "beginner-full-body")
    page = open_page(ana, reverse("blocks:block", args=[block.pk]))
    page.get_by_role("link", name="Save as template").click()
    page.get_by_label("Name").fill("Three short days")
    page.get_by_label("For whom, and what for").fill("For busy weeks.")
    page.get_by_role("button", name="Save template").click()

    page.get_by_role("button", name="Remove Three short days").click()
    page.get_by_role("button", name="Bring back Three short days").click()

    expect(page.get_by_role("link", name="Use for clients: Three short days")).to_be_visible()


def test_a_look_is_read_on_a_phone_without_sideways_scrolling(open_page, ana, cleo, drew):
    template = reverse("blocks:templates")
    page = open_page(ana, template, viewport=PHONE)
    page.get_by_role("link", name="Use for clients: Rings at home").click()
    page.get_by_role("checkbox", name="Drew Salas").check()
    click_and_settle(page, page.get_by_role("button", name="Look at each client"))
    expect(page.get_by_role("region", name="Drew Salas", exact=True)).to_be_visible()

    wide = page.evaluate("document.documentElement.scrollWidth")

    assert wide <= page.evaluate("document.documentElement.clientWidth")


def test_a_day_that_is_taken_is_told_and_mended_by_keyboard(open_page, ana, cleo, drew):
    today = cleo.local_date(timezone.now())
    running = published_block(cleo, today, "beginner-full-body")
    free = running.starts_on + timedelta(weeks=running.weeks.count())
    template = BlockTemplate.objects.get(key="rings-at-home")
    address = reverse("blocks:apply-template", args=[template.pk])
    page = open_page(ana, f"{address}?clients={cleo.pk}&clients={drew.pk}")
    day = page.get_by_label("Starts on for Cleo Brandt")
    expect(day).to_have_value(free.isoformat())

    day.fill(today.isoformat())
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        day.press("Enter")
    expect(page.get_by_text("plans sessions until")).to_be_visible()
    expect(day).to_be_focused()
    assert not drew.blocks.exists()

    expect(page.get_by_role("checkbox", name="Make a draft for Cleo Brandt")).not_to_be_checked()
    page.get_by_role("button", name="Make the drafts").press("Enter")

    expect(page.get_by_text("The draft for Drew Salas is made")).to_be_visible()
    assert cleo.blocks.count() == 1
    assert drew.blocks.get().starts_on >= today
