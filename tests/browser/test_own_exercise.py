"""From a shared exercise to one of the coach's own, retired and brought back."""

import re

from django.urls import reverse
from playwright.sync_api import expect

from coaching.library.models import Exercise
from tests.browser.conftest import PHONE, click_and_settle


def test_a_copy_is_mended_saved_found_retired_and_brought_back(open_page, ana, troubles):
    page = open_page(ana, reverse("library:exercise", args=["push-up"]))
    page.get_by_role("link", name="Copy", exact=True).click()
    page.get_by_label("Name").fill("PULL-UP")
    page.get_by_role("group", name="Plane").get_by_text("no plane").click()

    click_and_settle(page, page.get_by_role("button", name="Save the copy"))

    summary = page.get_by_role("alert")
    expect(summary).to_be_focused()
    expect(summary).to_contain_text("2 things to mend; nothing is written yet")
    expect(page.get_by_label("Name")).to_have_value("PULL-UP")
    troubles.clear()  # The browser itself reports the refusal (422) as an error.

    page.get_by_label("Name").fill("Tiger push-up")
    page.get_by_role("group", name="Plane").get_by_text("horizontal", exact=True).click()
    page.get_by_role("button", name="Save the copy").click()
    expect(page.get_by_role("heading", name="Tiger push-up")).to_be_visible()

    page.goto(reverse("library:exercises") + "?words=tiger")
    expect(page.get_by_text(re.compile("^yours$"))).to_be_visible()
    page.get_by_role("link", name="Tiger push-up").click()
    page.get_by_role("button", name="Retire").click()
    expect(page.get_by_text("You offer it no longer")).to_be_visible()
    page.get_by_role("button", name="Bring back").click()
    expect(page.get_by_role("button", name="Retire")).to_be_visible()
    assert Exercise.objects.get(coach=ana).retired_at is None


def test_a_new_exercise_can_be_written_with_the_keyboard_alone(open_page, ana):
    page = open_page(ana, reverse("library:add-exercise"))
    page.get_by_label("Name").focus()
    page.keyboard.type("Tiger bend push-up")

    for key in ("Tab", "ArrowRight", "Tab", "ArrowRight", "Tab", "Space"):
        page.keyboard.press(key)

    expect(page.get_by_role("radio", name="pull", exact=True)).to_be_checked()
    expect(page.get_by_role("radio", name="single joint")).to_be_checked()
    expect(page.get_by_role("radio", name="horizontal")).to_be_checked()


def test_without_scripts_and_on_a_phone_the_form_still_answers(open_page, ana, troubles):
    url = reverse("library:add-exercise")
    page = open_page(ana, url, java_script_enabled=False, viewport=PHONE)
    page.get_by_label("Name").fill("Tiger bend push-up")

    page.get_by_role("button", name="Add the exercise").click()

    expect(page.get_by_text("to mend; nothing is written yet")).to_be_visible()
    expect(page.get_by_label("Name")).to_have_value("Tiger bend push-up")
    troubles.clear()  # The browser itself reports the refusal (422) as an error.
