"""My log on a phone: body weight goes the way of every entry, and what was logged can be mended."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from clients.models import BodyWeight
from coaching.blocks.models import PlannedSession
from sessions.models import LoggedSet
from tests.browser.conftest import PHONE
from tests.browser.test_every_page import faults_of
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session


@pytest.fixture
def past(cleo):
    """The first two sessions of last week: one logged, one missed."""
    today = cleo.local_date(timezone.now())
    block = published_block(cleo, today - timedelta(days=7 + today.weekday()), "upper-lower")
    done, missed = PlannedSession.objects.filter(week__block=block).order_by("on")[:2]
    log_session(cleo, done, note="Slept badly.")
    return done, missed


def test_body_weight_is_kept_from_my_log(open_page, cleo):
    page = open_page(cleo.user, reverse("sessions:my-log"), viewport=PHONE)

    page.get_by_label("Body weight").fill("71.4")
    page.get_by_role("button", name="Save").click()

    expect(page.locator("body-weight [role=status]")).to_have_text("71.4 kg saved for today")
    expect(page.locator("saved-count")).to_have_text("All saved with your coach")
    row = BodyWeight.objects.get(client=cleo)
    assert (row.on, float(row.kg)) == (cleo.local_date(timezone.now()), 71.4)


def test_a_logged_session_opens_from_the_log_with_its_sets(open_page, cleo, past):
    done, _ = past
    page = open_page(cleo.user, reverse("sessions:my-log"), viewport=PHONE)

    page.get_by_role("link", name=f"Correct {done.name}").click()

    expect(page.get_by_role("heading", name=done.name, level=1)).to_be_visible()
    expect(page.locator("ol .set.is-done")).to_have_count(LoggedSet.objects.count())


def test_a_missed_session_opens_from_the_log_with_nothing_done(open_page, cleo, past):
    _, missed = past
    page = open_page(cleo.user, reverse("sessions:my-log"), viewport=PHONE)

    page.get_by_role(
        "link", name=re.compile(rf"^Log it {missed.name}, {missed.on:%a} {missed.on.day} ")
    ).click()

    expect(page.locator("today-session[data-ready]")).to_be_visible()
    expect(page.get_by_role("heading", name=missed.name, level=1)).to_be_visible()
    expect(page.locator("ol .set.is-done")).to_have_count(0)


def test_the_log_and_one_exercise_are_accessible_with_all_they_hold(open_page, cleo, past):
    for days in range(2):
        on = cleo.local_date(timezone.now()) - timedelta(days=days)
        BodyWeight.objects.create(client=cleo, on=on, kg=70 + days)
    page = open_page(cleo.user, reverse("sessions:my-log"), viewport=PHONE, reduced_motion="reduce")

    faults = faults_of(page)
    page.emulate_media(color_scheme="light")
    page.locator(".log-sets a").first.click()
    page.wait_for_url("**/exercises/**")

    assert [*faults, *faults_of(page)] == []
