"""Deciding exercise by exercise with the keyboard alone, in three acts from the list."""

from datetime import date, timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from clients.models import Client
from coaching.blocks.models import PlannedSession
from sessions.models import Decision, WeekReview
from sessions.queries import week_start
from tests.browser.conftest import DESK
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week


@pytest.fixture
def last_week(cleo) -> date:
    return week_start(cleo.local_date(timezone.now())) - timedelta(days=7)


@pytest.fixture
def hurting(cleo, last_week) -> Client:
    """Cleo, whose first exercise hurt at 7 of 10 last week."""
    block = published_block(cleo, last_week, "beginner-full-body")
    first = PlannedSession.objects.filter(week__block=block).order_by("on")[0]
    exercise = first.pairs.get(position=1).prescriptions.get(position=1).exercise_id
    log_week(cleo, last_week, pain={exercise: 7})
    who: Client = cleo
    return who


@pytest.fixture
def desk(open_page, ana, hurting, last_week) -> Page:
    page: Page = open_page(ana, f"/review/?week={last_week.isoformat()}", viewport=DESK)
    return page


def decided_with(desk: Page, *keys: str) -> dict[str, str]:
    """What is decided of each exercise after these keys."""
    desk.wait_for_load_state("networkidle")
    for key in keys:
        desk.keyboard.press(key)
    expect(desk.locator(".review-decisions")).to_be_visible()
    return {one.proposal["exercise"]: one.kind for one in Decision.objects.all()}


def test_one_key_chooses_an_act_for_the_exercise_and_enter_accepts(desk):
    name = desk.locator(".review-row label").first.inner_text()

    assert decided_with(desk, "h", "Enter")[name] == "hold"


def test_a_swap_is_three_acts_too(desk):
    name = desk.locator(".review-row label").first.inner_text()

    assert decided_with(desk, "s", "Enter")[name] == "swap"


def test_an_act_puts_its_numbers_in_and_the_next_exercise_is_one_key_away(desk):
    second = desk.locator(".review-row").nth(1)
    desk.keyboard.press("n")
    desk.keyboard.press("n")
    desk.keyboard.press("l")

    leave = second.locator("[type=radio][value=leave]")
    expect(leave).to_be_checked()
    expect(second.locator(".review-sets")).to_have_value(leave.get_attribute("data-targets") or "")
    expect(
        desk.locator(".review-row").first.locator("[type=radio][value=leave]")
    ).not_to_be_checked()


def test_a_typed_note_outlasts_what_is_pressed_beside_it(desk):
    note, private = desk.get_by_label("Note to the client"), desk.get_by_label("Private note")
    note.fill("Stop before it hurts.")
    private.fill("Elbow again?")

    decided = desk.locator(".review-decisions")
    for name, there in (
        ("Accept next targets", decided),
        ("Undo", decided.get_by_text("taken back")),
    ):
        desk.get_by_role("button", name=name).first.click()

        expect(there).to_be_visible()
        expect(note).to_have_value("Stop before it hurts.")
        expect(private).to_have_value("Elbow again?")

    assert {one.undone_at is None for one in Decision.objects.all()} == {False}
    assert not WeekReview.objects.exclude(note_to_client="", private_note="").exists()
