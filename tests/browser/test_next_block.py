"""From the client to the draft of the next block, a line chosen by keyboard."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from coaching.blocks.models import Prescription
from tests.browser.conftest import PHONE, click_and_settle
from tests.factories.blocks import published_block


@pytest.fixture
def block(cleo):
    today = cleo.local_date(timezone.now())
    monday = today - timedelta(days=today.weekday())
    return published_block(cleo, monday - timedelta(days=7), "beginner-full-body")


def test_a_line_chosen_by_keyboard_is_shown_kept_on_reload_and_made(open_page, ana, cleo, block):
    page = open_page(ana, reverse("sessions:client", args=[cleo.pk]))
    click_and_settle(page, page.get_by_role("link", name="Next block", exact=True))
    line = page.locator(".next-line").filter(has=page.locator("select")).first
    choose = line.get_by_role("combobox")
    other = choose.locator("option").last.inner_text()

    choose.focus()
    choose.select_option(other)
    expect(line.locator(".next-now")).to_contain_text(other)
    expect(line.locator(".next-now")).to_contain_text("your choice")
    expect(choose).to_be_focused()
    expect(page).to_have_url(re.compile("choice-"))
    assert "csrf" not in page.url
    page.reload()
    expect(line.locator(".next-now")).to_contain_text(other)

    page.get_by_role("button", name="Make the draft").press("Enter")

    expect(page.get_by_text("Block 2 is a draft")).to_be_visible()
    made = cleo.blocks.get(published_at__isnull=True)
    planned = Prescription.objects.filter(pair__planned_session__week__block=made)
    assert planned.filter(exercise__name=other).exists()


def test_a_longer_block_is_seen_before_it_is_made_on_a_phone_too(open_page, ana, cleo, block):
    page = open_page(ana, reverse("sessions:next-block", args=[cleo.pk]), viewport=PHONE)

    page.get_by_role("group", name="Weeks").get_by_text("6", exact=True).click()

    expect(page).to_have_url(re.compile("weeks=6"))
    expect(page.get_by_label("6", exact=True)).to_be_checked()
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= page.evaluate("document.documentElement.clientWidth")


def test_what_is_cut_to_end_on_time_is_kept_by_keyboard_line_by_line(open_page, ana, cleo, block):
    cleo.minutes = 50
    cleo.save()
    page = open_page(ana, reverse("sessions:next-block", args=[cleo.pk]))
    session = page.locator(".next-session").first
    first = session.get_by_role("checkbox", name="Keep all its sets").first
    keep = page.locator(f"[id='{first.get_attribute('id')}']")
    line = page.locator(".next-line").filter(has=keep)

    keep.focus()
    keep.press("Space")

    expect(page).to_have_url(re.compile("whole-"))
    expect(keep).to_be_checked()
    expect(keep).to_be_focused()
    expect(line.locator(".next-cut")).not_to_contain_text("min of 50")

    keep.press("Space")

    expect(keep).not_to_be_checked()
    expect(page).not_to_have_url(re.compile("whole-"))
