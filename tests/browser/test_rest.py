"""The rest and the hold on Today: heard on time, whatever the page, the clock or the screen do."""

import re
from collections.abc import Callable
from functools import partial

import pytest
from playwright.sync_api import Page, expect

from coaching.library.models import Exercise
from tests.browser.hearing import first_line, heard, open_today, until
from tests.browser.on_phone import ready

NOTE_TAP = """() => addEventListener("click", () => {
  window.tapped ??= { day: Date.now(), steady: performance.now() };
}, true)"""

# A third of a second after the third second is full, by the page's own clock.
STOP_THE_HOLD = """() => new Promise((done, fail) => {
  const stop = () => { document.querySelector(".hold-main").click(); done(); };
  const look = setInterval(() => {
    const shown = document.querySelector(".hold-count").textContent;
    if (!shown.includes(":") || shown < "0:03") return;
    clearInterval(look);
    setTimeout(stop, 300);
  }, 20);
  setTimeout(() => fail(new Error("It did not count to three.")), 20_000);
})"""


@pytest.fixture
def phone(open_page, cleo) -> Callable[..., Page]:
    """Opens Today on a phone; with ``hears`` its sounds are listened to."""
    return partial(open_today, open_page, cleo)


def test_the_end_of_a_rest_sounds_while_the_page_is_jammed(phone, planned):
    first_line(planned, rest_s=5)
    page = phone(hears=True)
    page.evaluate(NOTE_TAP)
    page.locator(".entry-save").click()
    expect(page.locator(".rest-main")).to_have_text(re.compile("rest 0:0"))
    # Over the end, however long this machine took to come here.
    page.evaluate("() => window.jam(6500 - Date.now() + window.tapped.day)")

    until(page, "window.heard.length >= 2")
    first, second = heard(page)[:2]
    assert 4600 < first["at"] - page.evaluate("window.tapped.day") < 5600
    assert abs(second["time"] - first["time"] - 0.24) < 0.005
    expect(page.locator("rest-timer [role=timer]")).to_have_text(re.compile(r"rested \+0:0\d"))


@pytest.mark.parametrize("shift", [3_600_000, -3_600_000], ids=["forward", "back"])
def test_setting_the_clock_neither_ends_nor_stretches_a_rest(phone, planned, shift):
    first_line(planned, rest_s=90)
    page = phone()
    page.evaluate(NOTE_TAP)
    page.locator(".entry-save").click()
    timer = page.locator("rest-timer [role=timer]")
    expect(timer).to_have_text(re.compile("rest 1:"))

    page.evaluate("(shift) => { const real = Date.now; Date.now = () => real() + shift; }", shift)
    page.wait_for_timeout(1200)

    words, passed = timer.evaluate(
        "(timer) => [timer.textContent, (performance.now() - window.tapped.steady) / 1000]"
    )
    minutes, seconds = re.findall(r"\d+", words)
    assert abs(int(minutes) * 60 + int(seconds) + passed - 90) < 3


def test_a_phone_that_slept_lost_no_rest(phone, planned):
    first_line(planned, rest_s=90)
    page = phone()
    page.locator(".entry-save").click()
    timer = page.locator("rest-timer [role=timer]")
    expect(timer).to_have_text(re.compile("rest 1:[12]"))

    # Locked for a minute: out of sight, the steady clock standing still, the time of day going on.
    page.evaluate(
        """() => {
          const sight = (hidden) => {
            Object.defineProperty(document, "hidden", { value: hidden, configurable: true });
            document.dispatchEvent(new Event("visibilitychange"));
          };
          sight(true);
          const real = Date.now;
          Date.now = () => real() + 60_000;
          sight(false);
        }"""
    )

    expect(timer).to_have_text(re.compile("rest 0:[12]"))


def test_a_rest_is_made_longer_and_ended_by_thumb(phone, planned):
    first_line(planned, rest_s=60)
    page = phone()
    page.locator(".entry-save").click()
    timer = page.locator("rest-timer [role=timer]")
    expect(timer).to_have_text(re.compile("rest (1:00|0:[3-5])"))

    page.locator(".rest-main").click()
    panel = page.get_by_role("group", name="The rest")
    assert all(b.bounding_box()["height"] >= 48 for b in panel.get_by_role("button").all())
    panel.get_by_role("button", name="+30 s").click()
    expect(panel).to_be_hidden()
    expect(timer).to_have_text(re.compile("rest 1:[0-2]"))
    page.reload()
    ready(page)
    expect(timer).to_have_text(re.compile("rest 1:[0-2]"))
    page.locator(".rest-main").click()
    page.get_by_role("button", name="End the rest").click()

    expect(page.locator("rest-timer")).to_be_hidden()


def test_a_hold_is_timed_and_fills_the_seconds(phone, planned):
    hold = Exercise.objects.get(name="Plank on the forearms")
    first_line(planned, exercise=hold, tempo=hold.tempo, targets=[2] * 5)
    page = phone(hears=True)
    expect(page.locator("tempo-beat")).to_be_hidden()
    main = page.locator(".hold-main")
    assert main.bounding_box()["height"] >= 48

    main.click()
    expect(page.locator(".hold-word")).to_have_text("get ready")
    page.evaluate(STOP_THE_HOLD)

    expect(page.get_by_label("Seconds", exact=True)).to_have_value("3")
    expect(page.locator(".entry-save")).to_have_text("Log 3 s")
    times = [o["time"] for o in heard(page)]
    assert [round(t - times[0], 1) for t in times] == [0, 1, 2, 3, 5, 5.2]


def test_stopped_while_getting_ready_a_hold_says_nothing(phone, planned):
    hold = Exercise.objects.get(name="Plank on the forearms")
    first_line(planned, exercise=hold, tempo=hold.tempo, targets=[20] * 5)
    page = phone()

    page.locator(".hold-main").click()
    page.locator(".hold-main").click()

    expect(page.get_by_label("Seconds", exact=True)).to_have_value("20")
    expect(page.locator(".hold-main")).to_have_attribute("aria-pressed", "false")


def test_the_screen_stays_lit_from_the_first_set_to_the_end(phone, planned):
    page = phone()
    assert page.evaluate("lit.asked") == 0
    page.locator(".entry-save").click()
    until(page, "lit.held === 1")

    # Out of sight the browser lets go of it; back in sight it is asked for again.
    page.evaluate("lit.last.release()")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    until(page, "lit.held === 1 && lit.asked === 2")
    page.locator("#finish summary").click()
    page.get_by_role("button", name="Finish the session").click()

    until(page, "lit.held === 0")
