"""What lies on the phone: never less than both places hold, told plainly, and never lost."""

import json
import re
from datetime import timedelta

from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, Request, expect

from sessions.models import LoggedSet
from tests.browser.conftest import PHONE, sign_in
from tests.browser.on_phone import TAP, ready, save, told, until
from tests.factories.phone import set_entry

OLDER_PAGE = """async (entry) => {
  const request = indexedDB.open("blockwright-outbox", 1);
  request.onupgradeneeded = () => {
    const store = request.result.createObjectStore("entries", { keyPath: "key", autoIncrement: true });
    store.createIndex("uid", "uid");
    store.createIndex("user", "user");
  };
  await new Promise((resolve) => (request.onsuccess = resolve));
  const write = request.result.transaction("entries", "readwrite");
  write.objectStore("entries").add(entry);
  await new Promise((resolve) => (write.oncomplete = resolve));
  request.result.close();
}"""


def unsent(page: Page):
    return page.locator("unsent-list")


def hold_back(page: Page) -> None:
    page.context.route("**/sync/", lambda route: route.abort())


def test_what_an_older_version_had_not_sent_is_sent_by_the_newer_one(
    open_page, live_server, cleo, planned
):
    page = open_page(None, reverse("clients:sign-in"), viewport=PHONE)
    body = set_entry(planned, timezone.now())
    head = {name: body.pop(name) for name in ("uid", "revision", "client")}
    about = {"user": cleo.user.pk, "url": reverse("sessions:sync"), "refused": ""}
    page.evaluate(OLDER_PAGE, {**head, **about, "body": body})

    sign_in(page.context, live_server.url, cleo.user)
    page.goto(reverse("sessions:today"))

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    assert str(LoggedSet.objects.get().uid) == head["uid"]


def test_a_page_older_than_what_was_sent_since_shows_it_all_the_same(phone):
    page = phone()
    older = page.context.request.get(reverse("sessions:today")).text()
    save(page, 2)
    page.locator("ol .set.is-done").first.tap()
    page.get_by_role("button", name="One more", exact=True).tap()
    page.locator(".entry-save").tap()
    until(page, lambda: LoggedSet.objects.filter(revision=2).exists())
    count = page.locator("ol .set.is-done").first.text_content()

    page.route("**/today/", lambda route: route.fulfill(body=older, content_type="text/html"))
    page.reload()
    ready(page)

    expect(page.locator("ol .set.is-done")).to_have_count(2)
    expect(page.locator("ol .set.is-done").first).to_have_text(count or "?")
    expect(told(page)).to_have_text("2 saved here, 2 with your coach")


def test_two_tabs_show_the_same_and_only_one_of_them_sends(phone, troubles):
    one = phone()
    sent: list[str] = []

    def note(request: Request) -> None:
        if request.url.endswith("/sync/") and request.method == "POST":
            sent.append(json.loads(request.post_data or "{}")["uid"])

    # Without locks, as over plain http: the pages agree on a lease.
    no_locks = "Object.defineProperty(Navigator.prototype, 'locks', { value: undefined })"
    one.context.add_init_script(no_locks)
    one.reload()
    ready(one)
    two = one.context.new_page()
    two.goto(one.url)
    ready(two)
    one.context.on("request", note)
    one.context.set_offline(True)
    save(one, 2)

    expect(two.locator("ol .set.is-done")).to_have_count(2)
    expect(told(two)).to_have_text("2 saved here, 0 with your coach · no network")
    sent.clear()
    one.context.set_offline(False)

    for page in (one, two):
        expect(told(page)).to_have_text("2 saved here, 2 with your coach")
    assert len(sent) == len(set(sent)) == 2
    troubles.clear()


def test_what_has_not_arrived_is_sent_on_demand_and_can_be_taken_along(phone, planned, troubles):
    page = phone()
    hold_back(page)
    save(page, 2)
    name = planned.pairs.all()[0].prescriptions.all()[0].exercise.name

    page.get_by_role("link", name="My log").first.tap()
    unsent(page).get_by_text("2 entries are not with your coach yet").tap()
    expect(unsent(page)).to_contain_text("The server does not take it now")
    expect(unsent(page).locator("li").first).to_contain_text(f"{name}, set 1: ")
    with page.expect_download() as download:
        unsent(page).get_by_role("button", name="Save as a file").tap()
    file = json.loads(download.value.path().read_text())
    page.context.unroute("**/sync/")
    unsent(page).get_by_role("button", name="Send now").tap()

    expect(told(page)).to_have_text("All saved with your coach")
    expect(unsent(page)).to_be_empty()
    assert re.match(r"unsent-\d{4}-\d\d-\d\d\.json", download.value.suggested_filename)
    kept = {str(uid) for uid in LoggedSet.objects.values_list("uid", flat=True)}
    assert {one["entry"]["uid"] for one in file["entries"]} == kept
    assert file["entries"][0]["what"].startswith(f"{name}, set 1: ")
    troubles.clear()


def test_a_refused_entry_is_thrown_away_only_when_asked_twice(phone, troubles):
    page = phone()
    page.clock.set_fixed_time("2020-01-01T10:00:00Z")
    page.locator(".entry-save").tap()
    problem = page.locator("unsent-problems")

    problem.get_by_role("button", name="Throw it away").tap()
    problem.get_by_role("button", name="Keep it").tap()
    expect(told(page)).to_have_text("1 saved here, 0 with your coach · not accepted")
    problem.get_by_role("button", name="Throw it away").tap()
    problem.get_by_role("button", name="Yes, throw it away").tap()

    expect(problem).to_be_empty()
    expect(told(page)).to_have_text("Nothing logged yet")
    troubles.clear()


def test_a_phone_that_cannot_keep_says_so_at_once_and_shows_nothing_as_saved(phone):
    page = phone()
    page.evaluate(
        """() => {
          const { add } = IDBObjectStore.prototype;
          IDBObjectStore.prototype.add = function (...all) {
            const request = add.apply(this, all);
            if (!window.hasRoom) this.transaction.abort();
            return request;
          };
        }"""
    )

    page.locator(".entry-save").tap()
    expect(page.locator("#messages")).to_contain_text("This phone could not keep what you just")
    expect(page.locator("ol .set.is-done")).to_have_count(0)
    expect(told(page)).to_have_text("Nothing logged yet")
    page.evaluate("window.hasRoom = true")
    page.locator("#messages").get_by_role("button", name="Close").tap()
    page.wait_for_timeout(TAP)
    save(page)

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")


def test_a_set_that_was_taken_back_on_another_phone_does_not_come_back(phone):
    page = phone()
    save(page, 2)
    expect(told(page)).to_have_text("2 saved here, 2 with your coach")
    LoggedSet.objects.filter(pk=LoggedSet.objects.earliest("pk").pk).update(
        removed_at=timezone.now(), revision=2
    )

    page.reload()
    ready(page)

    expect(page.locator("ol .set.is-done")).to_have_count(1)
    expect(told(page)).to_have_text("1 saved here, 1 with your coach")


# Nothing is told as written before the page hears so.
SLOW_DISK = """() => {
  const waiting = [];
  let isSlow = true;
  Object.defineProperty(IDBTransaction.prototype, "oncomplete", {
    set(told) { this.addEventListener("complete", () => (isSlow ? waiting.push(told) : told())); },
  });
  window.written = () => {
    isSlow = false;
    for (const told of waiting) told();
  };
}"""


def test_a_second_tap_while_the_first_is_still_being_written_logs_one_set(phone):
    page = phone()
    page.evaluate(SLOW_DISK)

    page.locator(".entry-save").tap()
    page.wait_for_timeout(TAP)
    page.locator(".entry-save").tap()
    page.evaluate("window.written()")

    expect(told(page)).to_have_text("1 saved here, 1 with your coach")
    assert LoggedSet.objects.count() == 1


LOOKED_AT = "document.dispatchEvent(new Event('visibilitychange'))"


def test_a_page_left_open_overnight_is_fetched_anew_but_not_from_under_the_thumb(phone):
    page = phone()
    page.evaluate("window.isOld = true")
    page.clock.set_fixed_time(timezone.now() + timedelta(days=1))
    amount = page.locator("[name=amount]")
    planned_amount = amount.input_value()

    amount.fill("3")
    page.evaluate(LOOKED_AT)
    page.wait_for_timeout(500)
    assert page.evaluate("window.isOld")
    amount.fill(planned_amount)
    with page.expect_navigation():
        page.evaluate(LOOKED_AT)

    ready(page)
    assert page.evaluate("window.isOld === undefined")
    tomorrow = timezone.now() + timedelta(days=1)
    expect(page.locator("#session-day option").first).to_have_attribute(
        "value", tomorrow.date().isoformat()
    )
