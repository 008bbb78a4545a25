"""The floor: two clients log side by side, and columns come and go without losing the others."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import FrameLocator, Page, expect

from coaching.blocks.models import PlannedSession
from sessions.models import LoggedSet
from sessions.pages_floor import floor_url
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_every_page import faults_of
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory

TAP = 450
"""Longer than what counts as a bouncing finger [ms]."""


@pytest.fixture
def pair(ana):
    """Two of Ana's clients who train now."""
    both = [ClientFactory.create(coach=ana, name=name) for name in ("Ida Moss", "Joel Kerr")]
    for client, template in zip(both, ("upper-lower", "beginner-full-body"), strict=True):
        today = client.local_date(timezone.now())
        block = published_block(client, today - timedelta(days=today.weekday()), template)
        row = PlannedSession.objects.filter(week__block=block).order_by("on")[0]
        PlannedSession.objects.filter(week__block=block, on=today).exclude(pk=row.pk).delete()
        row.on = today
        row.save()
    return both


def column(page: Page, name: str) -> FrameLocator:
    frame = page.frame_locator(f'iframe[title="Today of {name}"]')
    expect(frame.locator("today-session[data-ready]")).to_be_visible()
    return frame


def save(frame: FrameLocator) -> None:
    done = frame.locator("ol .set.is-done").count()
    frame.locator(".entry-save").click()
    expect(frame.locator("ol .set.is-done")).to_have_count(done + 1)


def test_two_clients_log_side_by_side_and_every_set_is_in_the_right_log(open_page, ana, pair):
    page = open_page(ana, floor_url([client.pk for client in pair]), viewport=DESK)
    columns = [column(page, client.name) for client in pair]

    for _ in range(4):
        for frame in columns:
            save(frame)
        page.wait_for_timeout(TAP)

    for frame in columns:
        expect(frame.locator("saved-count")).to_contain_text("4 in the log")
    for client in pair:
        sets = LoggedSet.objects.filter(logged_session__client=client)
        planned = PlannedSession.objects.get(
            week__block__client=client, on=client.local_date(timezone.now())
        )
        asked = {p.uid for two in planned.pairs.all() for p in two.prescriptions.all()}
        assert sets.count() == 4
        assert {row.prescription_uid for row in sets} <= asked
        assert {row.logged_session.planned_session for row in sets} == {planned}


def test_a_column_comes_and_goes_and_the_others_stay_as_they_are(open_page, ana, pair):
    ida, joel = pair
    page = open_page(ana, floor_url([ida.pk]), viewport=DESK)
    column(page, ida.name).locator(".entry .stepper-more").first.click()
    expect(column(page, ida.name).locator(".entry-save")).not_to_contain_text("as planned")
    before = column(page, ida.name).locator(".entry-save").inner_text()

    page.get_by_text("Choose clients").click()
    page.get_by_role("checkbox", name=joel.name).check()
    page.get_by_role("button", name="Show").click()
    column(page, joel.name)

    expect(page).to_have_url(re.compile(re.escape(floor_url([ida.pk, joel.pk])) + "$"))
    assert column(page, ida.name).locator(".entry-save").inner_text() == before
    page.get_by_role("link", name=f"Close {joel.name}").click()
    expect(page.locator("iframe")).to_have_count(1)
    expect(page).to_have_url(re.compile(re.escape(floor_url([ida.pk])) + "$"))
    assert column(page, ida.name).locator(".entry-save").inner_text() == before


def test_on_a_phone_a_name_leads_to_its_column(open_page, ana, pair):
    page = open_page(
        ana, floor_url([client.pk for client in pair]), viewport=PHONE, reduced_motion="reduce"
    )
    ida, joel = pair
    names = page.get_by_role("navigation", name="Columns")
    expect(names.get_by_role("link", name=ida.name)).to_have_attribute("aria-current", "true")

    names.get_by_role("link", name=joel.name).click()

    expect(names.get_by_role("link", name=joel.name)).to_have_attribute("aria-current", "true")
    expect(page.get_by_role("heading", name=joel.name)).to_be_focused()
    box = page.get_by_title(f"Today of {joel.name}").bounding_box()
    assert box is not None
    assert (box["x"], box["width"]) == (0, PHONE["width"])


def test_what_leads_out_of_today_opens_in_the_whole_window(open_page, ana, pair):
    page = open_page(ana, floor_url([client.pk for client in pair]), viewport=DESK)
    ida, _ = pair

    column(page, ida.name).get_by_role("link", name="Log", exact=True).click()

    page.wait_for_url(f"**/clients/{ida.pk}/log/")
    page.go_back()
    expect(page.locator("iframe")).to_have_count(2)


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_columns_are_accessible_in_both_themes(open_page, ana, pair, size):
    url = floor_url([client.pk for client in pair])
    page = open_page(ana, url, viewport=size, reduced_motion="reduce")
    for client in pair:
        column(page, client.name)

    assert faults_of(page) == []
