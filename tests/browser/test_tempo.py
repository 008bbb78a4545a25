"""What is heard on Today: the beat of a tempo. A beat is measured over half a minute of real time."""

import re
from collections.abc import Callable
from functools import partial
from itertools import pairwise

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from tests.browser.hearing import first_line, heard, open_today, until
from tests.browser.on_phone import ready

DRIFT = 20
"""The most that a beat may stray in a minute [ms]; what the coaches asked for."""

# The audio clock moves in steps, and a read may come late: the lead of the page's clock [ms] is least
# when the step has just been made.
CLOCKS = """
async () => {
  let best = null;
  for (let i = 0; i < 80; i += 1) {
    const audio = window.probed.currentTime;
    const ahead = performance.now() - audio * 1000;
    if (!best || ahead < best.ahead) best = { audio, ahead };
    await new Promise((done) => setTimeout(done, 4));
  }
  return best;
}
"""


# Each word that the beat shows, as it is shown: one that stands for a second is easily missed from outside.
NOTE_WORDS = """() => {
  window.said = [];
  const note = () => {
    const shown = [...document.querySelectorAll(".tempo-word, .tempo-about")].map((one) => one.textContent);
    const words = shown.filter(Boolean).join(", ");
    if (window.said.at(-1) !== words) window.said.push(words);
  };
  new MutationObserver(note).observe(document.querySelector(".tempo-main"), { childList: true, subtree: true });
}"""


@pytest.fixture
def phone(open_page, cleo) -> Callable[..., Page]:
    """Opens Today on a phone; with ``hears`` its sounds are listened to."""
    return partial(open_today, open_page, cleo)


def slope(ys: list[float]) -> float:
    """Least squares against 0, 1, 2, ..."""
    middle, mean = (len(ys) - 1) / 2, sum(ys) / len(ys)
    across = sum((i - middle) * (y - mean) for i, y in enumerate(ys))
    return across / sum((i - middle) ** 2 for i in range(len(ys)))


def test_the_beat_keeps_time_on_a_page_that_is_jammed(phone, planned):
    first_line(planned, tempo="3-1-X-0", targets=[5] * 5)
    page = phone(hears=True)
    page.locator(".tempo-main").click()
    until(page, "window.heard.length > 0")
    begin = page.evaluate(CLOCKS)

    for jam in (300, 900, 2500, 150, 4000, 700, 1200, 3000):
        page.evaluate("(jam) => window.jam(jam)", jam)
        page.wait_for_timeout(1300)
    page.wait_for_timeout(1500)
    end = page.evaluate(CLOCKS)
    beats = page.evaluate("document.querySelector('tempo-beat').scheduled")
    onsets = heard(page)

    # Against the grid of the audio clock: every beat sounds where it was put, whole seconds apart.
    count = len(onsets)
    assert count >= 21
    assert [round(b["time"] - beats[0]["time"], 9) for b in beats] == list(range(len(beats)))
    late = [o["time"] - b["time"] for o, b in zip(onsets, beats, strict=False)]
    assert max(late) - min(late) < 0.002
    # Against the time of day, read on the audio thread, and against the clock of the page.
    by_day = slope([o["at"] for o in onsets]) - 1000
    by_page = (end["ahead"] - begin["ahead"]) / (end["audio"] - begin["audio"])
    assert abs(by_day) * 60 < DRIFT
    assert abs(by_page) * 60 < DRIFT
    assert all(abs(b["at"] - a["at"] - 1000) < 100 for a, b in pairwise(onsets))


def test_a_set_is_counted_in_beaten_and_over(phone, planned):
    first_line(planned, tempo="1-0-X-0", targets=[2] * 5)
    page = phone(hears=True)
    main = page.locator(".tempo-main")
    expect(page.locator("tempo-beat")).to_have_attribute("aria-live", "off")
    page.evaluate(NOTE_WORDS)

    main.click()
    expect(main).to_have_attribute("aria-pressed", "true")
    expect(main).to_have_attribute("aria-pressed", "false")

    said = page.evaluate("window.said")
    assert said[0] == "get ready"
    assert {"lower, rep 1 of 2", "lift fast, rep 1 of 2", "lower, rep 2 of 2"} < set(said)
    times = [o["time"] for o in heard(page)]
    assert len(times) == 3 + 2 * 2 + 1
    assert all(abs(b - a - 1) < 0.002 for a, b in pairwise(times))


def test_logging_the_set_or_a_tap_silences_the_beat(phone, planned):
    page = phone(hears=True)
    main = page.locator(".tempo-main")
    main.click()
    until(page, "window.heard.length > 0")
    main.click()
    expect(main).to_have_attribute("aria-pressed", "false")
    page.wait_for_timeout(300)  # what sounded just then is told
    count = len(heard(page))
    page.wait_for_timeout(2500)
    assert len(heard(page)) == count

    main.click()
    until(page, f"window.heard.length > {count}")
    page.locator(".entry-save").click()

    expect(main).to_have_attribute("aria-pressed", "false")


def test_what_comes_first_can_be_turned_and_is_remembered(phone, planned):
    line = first_line(planned, tempo="2-0-1-0")
    page = phone()
    usual = "lift first" if line.exercise.pattern == "pull" else "lower first"
    other = "lower first" if usual == "lift first" else "lift first"
    main, turn = page.locator(".tempo-main"), page.locator(".tempo-choice").first
    expect(turn).to_be_hidden()
    main.click()
    expect(turn).to_have_text(usual)

    turn.click()
    expect(turn).to_have_text(other)
    expect(page.locator(".tempo-word")).to_have_text(other.removesuffix(" first"))
    page.reload()
    ready(page)

    main.click()
    expect(turn).to_have_text(other)
    expect(page.locator(".tempo-word")).to_have_text(other.removesuffix(" first"))


def test_a_silenced_phone_still_beats_to_the_eye(phone, planned):
    page = phone(hears=True)
    page.locator(".entry-save").click()
    page.locator(".rest-main").click()
    page.get_by_role("button", name="Sound on").click()
    expect(page.get_by_role("button", name="Sound off")).to_be_visible()
    page.wait_for_timeout(500)

    page.locator(".tempo-main").click()
    expect(page.locator(".tempo-about")).to_have_text(re.compile("rep 1 of"))

    assert heard(page) == []
    page.reload()
    ready(page)
    page.locator(".rest-main").click()
    expect(page.get_by_role("button", name="Sound off")).to_be_visible()


def test_a_column_of_the_floor_rests_and_beats_by_itself(open_page, ana, cleo, planned):
    page = open_page(ana, f"{reverse('sessions:floor')}?client={cleo.pk}")
    column = page.frame_locator("iframe")
    expect(column.locator("today-session[data-ready]")).to_be_visible()

    column.locator(".entry-save").click()
    expect(column.locator("rest-timer [role=timer]")).to_have_text(re.compile("rest "))
    column.locator(".tempo-main").click()

    expect(column.locator(".tempo-about")).to_have_text(re.compile("rep 1 of"))
