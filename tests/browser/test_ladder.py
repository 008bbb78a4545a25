"""A ladder for two clients, then one of its exercises worked out while typing."""

from datetime import date

from django.urls import reverse
from playwright.sync_api import expect

from clients.models import BodyWeight
from tests.browser.conftest import DESK
from tests.factories.clients import ClientFactory


def test_a_ladder_is_compared_and_an_exercise_worked_out(open_page, ana, troubles):
    for name, stature in (("Tall Tim", 190), ("Short Sam", 160)):
        client = ClientFactory.create(coach=ana, name=name, stature_cm=stature, sex="male")
        BodyWeight.objects.create(client=client, on=date(2026, 1, 5), kg=70)
    page = open_page(ana, reverse("library:ladder", args=["push-up"]), viewport=DESK)

    page.get_by_label("Loads of").select_option(label="Tall Tim")
    page.get_by_label("Beside").focus()
    page.get_by_label("Beside").select_option(label="Short Sam")

    rung = page.get_by_role("listitem").filter(has=page.get_by_role("link", name="Wall push-up"))
    expect(rung).to_contain_text("Tall Tim")
    expect(rung).to_contain_text("Short Sam")
    expect(page.get_by_label("Beside")).to_be_focused()

    page.get_by_role("link", name="Push-up", exact=True).click()
    results = page.locator("#load-results")
    expect(results).to_contain_text("estimated for Tall Tim")
    page.get_by_label("Reps done").press_sequentially("8")
    expect(results).to_contain_text("One-repetition maximum")
    expect(page.get_by_label("Reps done")).to_be_focused()

    page.get_by_label("Height of the hands").fill("400")
    expect(page.get_by_text("Enter a number from 0 to 300 cm.")).to_be_visible()
    troubles.clear()  # The browser itself reports the refusal (422) as an error.
    page.get_by_label("Height of the hands").fill("30")
    expect(page.get_by_text("Enter a number from 0 to 300 cm.")).to_be_hidden()
    expect(results).to_contain_text("% of body weight on the hands")
