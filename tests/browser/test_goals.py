"""A movement goal is added and taken back by the keyboard, and messages never contradict."""

import re

from django.urls import reverse
from playwright.sync_api import expect

from coaching.library.models import Exercise
from tests.browser.conftest import DESK


def test_an_added_goal_is_led_to_and_its_undo_leaves_one_message(open_page, ana, cleo):
    page = open_page(ana, reverse("sessions:client", args=[cleo.pk]), viewport=DESK)
    dip = Exercise.objects.get(key="dip", coach=None)

    page.get_by_text("Add a goal", exact=True).click()
    page.get_by_label("Rung").select_option(value=str(dip.pk))
    page.get_by_label("Reps, or seconds of a hold").fill("8")
    page.get_by_label("Reps, or seconds of a hold").press("Enter")

    expect(page.get_by_role("heading", name=re.compile(dip.name))).to_be_focused()
    messages = page.locator("#messages .message")
    expect(messages).to_have_count(1)
    messages.get_by_role("button", name="Undo").click()
    expect(messages).to_contain_text("is dropped")
    expect(messages).to_have_count(1)


def test_a_decimal_comma_is_not_dropped_while_typing(open_page, ana):
    address = reverse("library:exercise", args=["barbell-deadlift"])
    page = open_page(ana, address, viewport=DESK)

    page.get_by_label("Load that is lifted").fill("")
    page.get_by_label("Load that is lifted").press_sequentially("112,5")
    page.get_by_label("Reps done").fill("1")
    page.get_by_label("RIR").fill("0")

    # One repetition to failure is the maximum.
    expect(page.locator("#load-results")).to_contain_text("the set moved 112 kg")
