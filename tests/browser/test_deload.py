"""From the flag to a light week on the client's phone, and back."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from coaching.blocks.plan_rows import snapshot_of
from tests.browser.conftest import PHONE
from tests.factories.blocks import published_block


@pytest.fixture
def block(cleo):
    today = cleo.local_date(timezone.now())
    monday = today - timedelta(days=today.weekday())
    return published_block(cleo, monday - timedelta(days=7), "beginner-full-body")


@pytest.fixture
def light_week(open_page, ana, cleo, block):
    return open_page(ana, reverse("sessions:deload", args=[cleo.pk]))


def share_now(page):
    return page.locator("#effect-title .number")


def test_the_slider_shows_the_effect_while_it_moves(light_week):
    slider = light_week.get_by_role("slider")
    slider.focus()

    for _ in range(20):
        slider.press("ArrowRight")

    expect(light_week.get_by_label("Share of the usual reps", exact=True)).to_have_value("60")
    expect(share_now(light_week)).to_have_text(re.compile(r"^(5[5-9]|6[0-5]) %$"))
    expect(light_week).to_have_url(re.compile("share=60"))


def test_a_reload_and_the_back_button_keep_what_was_asked(light_week):
    light_week.get_by_label("Length").fill("5")
    light_week.get_by_label("Length").press("Tab")
    expect(light_week).to_have_url(re.compile("days=5"))

    light_week.get_by_role("link", name="Back to the review").click()
    light_week.go_back()

    expect(light_week.get_by_label("Length")).to_have_value("5")


def test_one_exercise_set_by_hand_changes_the_week_and_keeps_the_focus(light_week):
    before = share_now(light_week).inner_text()
    change = light_week.locator(".deload-change").first
    change.locator("summary").click()
    change.get_by_role("textbox").fill("8-8-8-8-8-8")

    change.get_by_role("textbox").press("Tab")

    expect(change.locator("summary")).to_contain_text("Set by you")
    expect(share_now(light_week)).not_to_have_text(before)
    expect(change.get_by_role("combobox")).to_be_focused()


def test_sets_nobody_can_read_are_marked_and_nothing_can_be_put_in(light_week, troubles):
    change = light_week.locator(".deload-change").first
    change.locator("summary").click()
    change.get_by_role("textbox").fill("many")

    change.get_by_role("textbox").press("Tab")

    expect(change.get_by_text("write 3 × 5")).to_be_visible()
    expect(light_week.get_by_role("button", name="Put it in")).to_have_count(0)
    troubles.clear()  # The browser itself reports the refusal (422) as an error.


def test_the_light_week_reaches_the_phone_at_once_and_undo_takes_it_back(
    light_week, open_page, ana, cleo, block
):
    before = snapshot_of(block)
    light_week.get_by_role("button", name="Put it in").click()
    expect(light_week.get_by_role("heading", name="The light week is in the plan")).to_be_visible()

    light_week.get_by_role("link", name="What Cleo sees").click()

    expect(light_week.get_by_text("fewer reps on purpose").first).to_be_visible()
    phone = open_page(cleo.user, light_week.url.split("/clients/")[0] + "/today/", viewport=PHONE)
    expect(phone.locator("main")).to_be_visible()
    light_week.go_back()
    light_week.get_by_role("button", name="Undo").click()
    expect(light_week.get_by_text("the plan is as it was before")).to_be_visible()
    assert snapshot_of(block) == before


def test_without_scripts_the_form_still_answers(open_page, ana, cleo, block):
    page = open_page(ana, reverse("sessions:deload", args=[cleo.pk]), java_script_enabled=False)
    page.get_by_label("Share of the usual reps", exact=True).fill("60")

    page.get_by_role("button", name="Show the effect").click()

    expect(share_now(page)).to_have_text(re.compile(r"^(5[5-9]|6[0-5]) %$"))
