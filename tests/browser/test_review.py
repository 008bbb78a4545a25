"""Monday's review in the browser: who comes first, why, and what one act does."""

import re
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from clients.models import Client
from coaching.blocks.models import PlannedSession
from coaching.blocks.plan_rows import snapshot_of
from sessions.models import Decision
from sessions.queries import week_start
from tests.browser.conftest import DESK, PHONE, click_and_settle
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_week

TEMPLATE = "beginner-full-body"


@pytest.fixture
def last_week(cleo) -> date:
    return week_start(cleo.local_date(timezone.now())) - timedelta(days=7)


@pytest.fixture
def hurting(cleo, last_week) -> Client:
    """Cleo, whose first exercise hurt at 7 of 10 last week, after two good weeks."""
    block = published_block(cleo, last_week - timedelta(days=14), TEMPLATE)
    for days in (14, 7):
        log_week(cleo, last_week - timedelta(days=days))
    first = PlannedSession.objects.filter(week__block=block).order_by("on")[0]
    exercise = first.pairs.get(position=1).prescriptions.get(position=1).exercise_id
    log_week(cleo, last_week, pain={exercise: 7})
    who: Client = cleo
    return who


@pytest.fixture
def steady(ana, last_week) -> Client:
    """A client whose week went to plan."""
    client: Client = ClientFactory.create(coach=ana, name="Edda Holm")
    published_block(client, last_week, TEMPLATE)
    log_week(client, last_week)
    return client


@pytest.fixture
def desk(open_page, ana, hurting, steady, last_week) -> Page:
    page: Page = open_page(ana, f"/review/?week={last_week.isoformat()}", viewport=DESK)
    return page


def test_whose_week_needs_the_coach_comes_first_with_the_evidence_in_place(desk):
    expect(desk.get_by_role("heading", level=1)).to_have_text(re.compile("1 needs? you"))
    first = desk.locator(".worklist-item").first
    expect(first).to_contain_text("Cleo Brandt")
    expect(first).to_contain_text("Pain 7 of 10")

    panel = desk.locator("#panel")
    expect(panel).to_contain_text("licensed practitioner")
    panel.get_by_text("Numbers, rule and source").first.click()
    expect(panel.get_by_text("7 of 10").first).to_be_visible()

    panel.get_by_role("heading", name="Strength over time").scroll_into_view_if_needed()
    expect(panel.locator(".js-plotly-plot").first).to_be_visible()


def test_a_finding_about_an_exercise_opens_its_chart_with_the_table_beside_it(desk):
    panel = desk.locator("#panel")
    panel.get_by_text("Exercise by exercise").click()
    line = panel.locator(".review-lines li", has=desk.locator(".is-chart")).first

    line.locator(".is-chart > summary").press("Enter")

    expect(line.locator(".js-plotly-plot")).to_be_visible()
    expect(line.locator(".chart-legend")).to_contain_text("what the planned target asks")
    line.get_by_text("Every session as a table").click()
    expect(line.get_by_role("columnheader", name="Planned")).to_be_visible()
    expect(line.get_by_role("cell", name=re.compile(r"[\d.]+ to [\d.]+ kg")).first).to_be_visible()


def test_routine_clients_are_accepted_together_after_the_preview_and_undone(desk, steady):
    block = steady.blocks.get()
    before = snapshot_of(block)

    click_and_settle(desk, desk.get_by_role("link", name="Look and accept next targets"))
    expect(desk.locator("#panel")).to_contain_text("Nothing has changed yet")
    assert snapshot_of(block) == before
    click_and_settle(desk, desk.get_by_role("button", name="Accept for those ticked").first)
    expect(desk.locator("#messages")).to_contain_text("Undo")
    assert snapshot_of(block) != before
    assert Decision.objects.filter(review__client=steady, undone_at=None).exists()

    click_and_settle(desk, desk.locator("#messages").get_by_role("button", name="Undo"))
    expect(desk.locator("#messages")).to_contain_text("the plan is as it was before")
    assert snapshot_of(block) == before


def test_a_note_closes_the_week_and_stands_on_the_clients_phone(desk, open_page, hurting):
    desk.get_by_label("Note to the client").fill("Leave the first pair out until Friday.")
    click_and_settle(desk, desk.get_by_role("button", name="Reviewed, next client"))
    expect(desk.get_by_role("heading", level=1)).not_to_contain_text("you")

    phone = open_page(hurting.user, reverse("sessions:today"), viewport=PHONE)
    expect(phone.get_by_text("Leave the first pair out until Friday.")).to_be_visible()


def test_every_key_is_listed_and_the_place_is_kept(desk, steady):
    desk.keyboard.press("?")
    keys = desk.get_by_role("dialog", name="One key does it")
    expect(keys.get_by_role("row", name=re.compile("next client, client before"))).to_be_visible()
    expect(keys.get_by_role("row", name=re.compile("Reviewed, next client"))).to_be_visible()
    desk.keyboard.press("Escape")
    expect(keys).to_be_hidden()

    desk.get_by_text("One by one").click()
    with desk.expect_response(re.compile(f"/review/{steady.pk}/")):
        desk.keyboard.press("j")
    expect(desk.locator("#panel-name")).to_have_text("Edda Holm")
    desk.get_by_role("link", name="Roster").click()
    desk.get_by_role("link", name="Review", exact=True).click()

    expect(desk.locator("#panel-name")).to_have_text("Edda Holm")


def test_after_an_act_the_next_client_is_there_without_a_new_page(desk):
    desk.evaluate("window.isTheSame = true")

    desk.locator("body").press("r")

    expect(desk.locator("#panel-name")).to_have_text("Edda Holm")
    assert desk.evaluate("window.isTheSame")
