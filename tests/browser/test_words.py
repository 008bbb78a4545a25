"""A note of the coach on Today: seen, answered without a network, read by the coach."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from sessions.models import WeekReview, Word
from sessions.queries import week_start
from sessions.review_services import mark_reviewed
from tests.browser.conftest import DESK, PHONE, click_and_settle
from tests.browser.on_phone import ready, told, until
from tests.factories.sessions import log_week


@pytest.fixture
def note(ana, cleo, planned) -> WeekReview:
    week = week_start(cleo.local_date(timezone.now())) - timedelta(days=7)
    return mark_reviewed(
        client=cleo, week_starts_on=week, by=ana, note_to_client="How do you sleep?"
    )


def answer(page, text: str) -> None:
    page.locator("coach-words summary").tap()
    page.get_by_label("Your answer").fill(text)
    page.get_by_role("button", name="Send the answer").tap()


def test_a_note_is_seen_and_answered_and_the_coach_reads_it(phone, open_page, ana, cleo, note):
    page = phone()
    said = page.locator("coach-words [data-said]")
    until(page, lambda: WeekReview.objects.filter(note_read_at__isnull=False).exists())

    answer(page, "Six hours.")
    expect(said).to_have_text("You: “Six hours.” · with your coach")
    answer(page, "Six hours, then seven.")
    until(page, lambda: Word.objects.filter(revision=2, text="Six hours, then seven.").exists())
    assert Word.objects.count() == 1

    week = note.week_starts_on.isoformat()
    url = reverse("sessions:review-client", args=[cleo.pk])
    desk = open_page(ana, f"{url}?week={week}", viewport=DESK)
    words = desk.get_by_role("region", name="Words from Cleo")
    expect(words).to_contain_text("Six hours, then seven.")
    click_and_settle(desk, words.get_by_role("button", name="Mark as read"))
    expect(words.get_by_role("button", name="Mark as read")).to_have_count(0)

    page.reload()
    expect(said).to_contain_text("Six hours, then seven.” · read ")


def test_an_answer_without_a_network_is_kept_and_arrives_once(phone, note, troubles):
    page = phone()
    until(page, lambda: WeekReview.objects.filter(note_read_at__isnull=False).exists())
    page.context.set_offline(True)

    answer(page, "Six hours.")
    said = page.locator("coach-words [data-said]")
    expect(said).to_have_text("You: “Six hours.” · saved here, not with your coach yet")
    expect(told(page)).to_contain_text("no network")
    answer(page, "Seven hours.")
    expect(said).to_contain_text("Seven hours.")
    assert not Word.objects.exists()
    page.context.set_offline(False)

    expect(said).to_have_text("You: “Seven hours.” · with your coach")
    assert [(word.text, word.answers) for word in Word.objects.all()] == [("Seven hours.", note)]
    page.reload()
    ready(page)
    expect(said).to_have_text("You: “Seven hours.” · with your coach")
    assert [t for t in troubles if "ERR_INTERNET_DISCONNECTED" not in t] == []
    troubles.clear()


def test_an_answer_that_was_not_sent_is_there_after_the_page_was_opened_anew(phone, note, troubles):
    page = phone()
    page.context.route("**/sync/", lambda route: route.abort())
    answer(page, "Six hours.")
    said = page.locator("coach-words [data-said]")
    expect(said).to_contain_text("saved here")

    page.reload()
    ready(page)

    expect(said).to_have_text("You: “Six hours.” · saved here, not with your coach yet")
    page.context.unroute("**/sync/")
    page.evaluate("window.dispatchEvent(new Event('online'))")
    expect(said).to_have_text("You: “Six hours.” · with your coach")
    assert Word.objects.get().text == "Six hours."
    assert [t for t in troubles if "ERR_FAILED" not in t] == []
    troubles.clear()


def test_a_client_writes_under_words_without_a_network(open_page, cleo, troubles):
    page = open_page(cleo.user, reverse("sessions:words"), viewport=PHONE, has_touch=True)
    page.context.set_offline(True)

    page.get_by_label("Write to your coach").fill("Can I swap Friday?")
    page.get_by_role("button", name="Send", exact=True).tap()
    mine = page.locator("own-words li")
    expect(mine).to_have_text(re.compile("Can I swap Friday.*Saved here, not with your coach yet"))
    assert not Word.objects.exists()
    page.context.set_offline(False)

    expect(mine).to_have_text(re.compile("Can I swap Friday.*With your coach"))
    page.reload()
    expect(page.get_by_text("Can I swap Friday?")).to_have_count(1)
    expect(mine).to_have_count(0)
    word = Word.objects.get()
    assert (word.text, word.answers, word.from_client) == ("Can I swap Friday?", None, True)
    assert [t for t in troubles if "ERR_INTERNET_DISCONNECTED" not in t] == []
    troubles.clear()


def test_a_template_is_put_into_the_note_by_keyboard_and_edited(open_page, ana, cleo, note):
    log_week(cleo, note.week_starts_on)
    WeekReview.objects.update(note_to_client="")
    url = reverse("sessions:review-client", args=[cleo.pk])
    page = open_page(ana, f"{url}?week={note.week_starts_on.isoformat()}", viewport=DESK)

    page.keyboard.press("t")
    expect(page.get_by_label("Template", exact=True)).to_be_focused()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")

    field = page.get_by_label("Note to the client")
    expect(field).to_be_focused()
    expect(field).to_have_value(re.compile("^Cleo, some sessions of this week stayed open"))
    page.keyboard.type(" Thursday?")
    page.get_by_role("button", name="Reviewed, next client").or_(
        page.get_by_role("button", name="Save the notes, next client")
    ).click()
    until(
        page,
        lambda: WeekReview.objects.filter(note_to_client__endswith="them. Thursday?").exists(),
    )


def test_what_a_template_cannot_fill_in_is_selected_to_be_written_over(
    open_page, ana, cleo, troubles
):
    page = open_page(ana, reverse("sessions:words-with", args=[cleo.pk]), viewport=DESK)

    page.get_by_label("Template", exact=True).select_option(label="Same again")
    page.get_by_role("button", name="Put it in").click()
    field = page.get_by_label("Write to the client")
    expect(field).to_be_focused()
    page.keyboard.type("dips")

    expect(field).to_have_value(
        re.compile(r"^Cleo, we stay with dips for one more week: \{target\}")
    )
    page.get_by_role("button", name="Send to Cleo").click()
    expect(page.get_by_text("Write something in the place of {target} first.")).to_be_visible()
    assert not Word.objects.exists()
    # The refusal itself is a 422, which the browser writes down.
    assert [one for one in troubles if "422" not in one] == []
    troubles.clear()
