"""Today without a network: opened from what the phone kept, filled in, and handed in afterwards."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from coaching.blocks.models import PlannedSession
from sessions.models import LoggedSet
from tests.browser.conftest import PHONE, sign_in
from tests.browser.on_phone import ready, save, told, until

PAGES = """async () => {
  const names = (await caches.keys()).filter((name) => name.startsWith("blockwright-pages-"));
  const found = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
  return found.flat().map(({ url }) => url.slice(location.origin.length));
}"""


def kept_for_later(page: Page) -> None:
    line = page.locator("offline-keeper")
    expect(line).to_contain_text("opens without a network until")


def cut_off(page: Page) -> None:
    page.context.set_offline(True)


@pytest.fixture
def tomorrow(planned) -> PlannedSession:
    """The next session of the plan, moved to tomorrow."""
    row = PlannedSession.objects.filter(week__block=planned.week.block).exclude(pk=planned.pk)[0]
    PlannedSession.objects.filter(on=planned.on + timedelta(days=1)).exclude(pk=row.pk).delete()
    row.on = planned.on + timedelta(days=1)
    row.name = "Tomorrow's session"
    row.save()
    return row


def test_today_opens_without_a_network_and_hands_in_afterwards(phone, planned, tomorrow, troubles):
    page = phone()
    save(page)
    kept_for_later(page)
    cut_off(page)

    page.reload()
    ready(page)
    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    save(page)
    other = page.context.new_page()
    page.close()
    other.goto(reverse("sessions:today"))
    ready(other)
    expect(told(other)).to_have_text("2 saved here, 1 with your coach · no network")
    other.context.set_offline(False)

    expect(told(other)).to_have_text("2 saved here, 2 with your coach")
    assert LoggedSet.objects.count() == 2
    troubles.clear()


def test_the_days_to_come_and_a_session_without_a_plan_open_too(phone, tomorrow, troubles):
    page = phone()
    kept_for_later(page)
    kept = page.evaluate(PAGES)
    days = [url for url in kept if "?day=" in url]
    assert len(days) in {7, 8}  # one fewer where the phone is a day ahead of the practice
    cut_off(page)

    page.goto(reverse("sessions:unplanned"))
    expect(page.locator("h1")).to_be_visible()
    expect(page.locator("kept-here")).to_have_count(0)
    names = page.evaluate(f"fetch('{reverse('sessions:today-exercises')}').then((r) => r.json())")
    assert names["exercises"]
    page.clock.set_fixed_time(timezone.now() + timedelta(days=1))
    link = page.context.new_page()
    link.goto(f"{reverse('sessions:today')}?session={tomorrow.uid}")
    expect(link.locator("h1")).to_have_text("Tomorrow's session")
    troubles.clear()


def test_a_page_that_is_not_kept_says_what_is_and_what_to_do(phone, troubles):
    page = phone()
    kept_for_later(page)
    cut_off(page)
    save(page)

    page.goto(f"{reverse('sessions:today')}?session=0198c0de-0000-7000-8000-000000000000")

    expect(page.get_by_role("heading", name="No network")).to_be_visible()
    expect(page.locator("kept-here")).to_contain_text("One entry is kept on this phone")
    expect(page.locator("kept-here li")).to_contain_text("set 1: ")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as a file").tap()
    assert "set 1: " in download.value.path().read_text()
    page.get_by_role("link", name="Try Today again").tap()
    ready(page)
    expect(told(page)).to_have_text("1 saved here, 0 with your coach · no network")
    page.get_by_role("link", name="My log").first.tap()
    expect(page.locator("kept-here li")).to_contain_text("set 1: ")
    troubles.clear()


def test_a_network_that_does_not_answer_is_not_waited_for(phone, troubles):
    page = phone()
    kept_for_later(page)

    page.context.route("**/today/", lambda _route: None)
    page.reload()
    ready(page)

    save(page)
    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    page.context.unroute("**/today/")
    troubles.clear()


def test_signing_out_takes_the_pages_along_and_leaves_what_is_unsent(phone, cleo, troubles):
    page = phone()
    kept_for_later(page)
    page.context.route("**/sync/", lambda route: route.abort())
    save(page)
    page.get_by_role("link", name="My log").first.tap()
    expect(told(page)).to_have_text("1 saved here, not with your coach yet · waiting to send")
    page.get_by_role("button", name="Sign out").tap()
    page.get_by_role("button", name="Sign out anyway").tap()
    expect(page).to_have_url(re.compile("sign-in"))

    assert page.evaluate(PAGES) == []
    cut_off(page)
    page.goto(reverse("sessions:today"))
    expect(page.locator("kept-here")).to_contain_text("One entry is kept on this phone")
    troubles.clear()


def test_another_account_on_the_phone_finds_nothing_of_the_one_before(
    phone, live_server, drew, planned, troubles
):
    page = phone()
    save(page)
    kept_for_later(page)
    sign_in(page.context, live_server.url, drew.user)

    page.goto(reverse("sessions:today"))
    expect(page.get_by_role("heading", name="No plan yet")).to_be_visible()
    kept_for_later(page)
    cut_off(page)
    page.goto(f"{reverse('sessions:today')}?day={planned.on}")

    expect(page.get_by_role("heading", name="No plan yet")).to_be_visible()
    troubles.clear()


def test_a_new_release_replaces_shell_and_pages_together(phone, monkeypatch, troubles):
    page = phone()
    kept_for_later(page)
    before = page.evaluate("caches.keys()")
    from sessions import pages_worker  # noqa: PLC0415

    monkeypatch.setattr(pages_worker, "SHELL", (*pages_worker.SHELL, "js/app.js"))

    page.reload()
    ready(page)
    names: list[str] = []

    def is_replaced() -> bool:
        names[:] = page.evaluate("caches.keys()")
        return len(names) == 2 and not set(names) & set(before)

    until(page, is_replaced)
    assert reverse("sessions:unplanned") in page.evaluate(PAGES)
    cut_off(page)
    page.reload()
    ready(page)
    troubles.clear()


def test_over_plain_http_a_page_says_that_it_must_stay_open(
    new_context, live_server, settings, cleo, planned
):
    settings.ALLOWED_HOSTS = ["*"]
    home = live_server.url.replace("localhost", "gym.test")
    context = new_context(base_url=home, viewport=PHONE, has_touch=True, is_mobile=True)
    sign_in(context, home, cleo.user)
    page = context.new_page()
    page.goto(reverse("sessions:today"))
    ready(page)
    assert page.evaluate("[isSecureContext, 'locks' in navigator]") == [False, False]

    save(page, 2)

    expect(told(page)).to_have_text("2 saved here, 2 with your coach")
    expect(page.locator("offline-keeper")).to_contain_text("cannot be opened without a network")
    assert LoggedSet.objects.count() == 2


def test_a_coach_who_logs_for_a_client_keeps_no_pages(phone, ana, cleo):
    page = phone(ana, reverse("sessions:today-for", args=[cleo.pk]))

    save(page)

    expect(told(page)).to_have_text("1 saved here, 1 in the log")
    assert (
        page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => all.length)") == 0
    )
