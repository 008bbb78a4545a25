"""What is heard on Today: the beat of a tempo, the end of a rest, the target of a hold.

Onsets are measured where the sound is made, on the audio thread, with its own time of day: a page that is
busy can delay neither. Longer than a minute together: a beat is measured over half a minute of real time.
"""

import json
import re
from collections.abc import Callable
from itertools import pairwise

import pytest
from django.urls import reverse
from playwright.sync_api import Frame, Page, expect

from coaching.blocks.models import PlannedSession
from coaching.library.models import Exercise
from tests.browser.conftest import PHONE

DRIFT = 20
"""The most that a beat may stray in a minute [ms]; what the coaches asked for."""

PROBE = """
registerProcessor("probe", class extends AudioWorkletProcessor {
  quiet = 1e9;
  process([input]) {
    const samples = input[0] ?? new Float32Array(128);
    samples.forEach((sample, i) => {
      if (Math.abs(sample) < 0.002) this.quiet += 1;
      else {
        if (this.quiet > sampleRate * 0.03) {
          this.port.postMessage({ time: (currentFrame + i) / sampleRate, at: Date.now() });
        }
        this.quiet = 0;
      }
    });
    return true;
  }
});
"""

LISTEN = """
(() => {
  window.heard = [];
  const connect = AudioNode.prototype.connect;
  AudioNode.prototype.connect = function (to, ...more) {
    if (to instanceof AudioDestinationNode && PROBE && !window.probed) {
      window.probed = this.context;
      const probed = URL.createObjectURL(new Blob([PROBE], { type: "text/javascript" }));
      this.context.audioWorklet.addModule(probed).then(() => {
        const probe = new AudioWorkletNode(this.context, "probe", { numberOfOutputs: 0 });
        probe.port.onmessage = ({ data }) => window.heard.push(data);
        connect.call(this, probe);
        window.listens = true;
      });
    }
    return connect.call(this, to, ...more);
  };
  window.lit = { asked: 0, held: 0 };
  const request = async () => {
    const lock = new EventTarget();
    lock.release = async () => {
      if (!lock.over) window.lit.held -= 1;
      lock.over = true;
      lock.dispatchEvent(new Event("release"));
    };
    window.lit.asked += 1;
    window.lit.held += 1;
    window.lit.last = lock;
    return lock;
  };
  Object.defineProperty(navigator, "wakeLock", { value: { request } });
  window.jam = (milliseconds) => {
    const until = performance.now() + milliseconds;
    while (performance.now() < until);
  };
})();
"""


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


def first_line(planned: PlannedSession, **values):
    """Change what is planned first."""
    line = planned.pairs.all()[0].prescriptions.all()[0]
    for name, value in values.items():
        setattr(line, name, value)
    line.save()
    return line


@pytest.fixture
def phone(open_page, cleo) -> Callable[..., Page]:
    """Opens Today on a phone; with ``hears`` its sounds are listened to."""

    def open_today(*, hears: bool = False) -> Page:
        # The policy of the page is lifted for the probe alone; the other journeys run under it.
        page: Page = open_page(
            cleo.user, reverse("sessions:my-log"), viewport=PHONE, bypass_csp=hears
        )
        page.context.add_init_script(LISTEN.replace("PROBE", json.dumps(PROBE if hears else "")))
        page.goto(reverse("sessions:today"))
        ready(page)
        if hears:
            # The first tap makes the audio clock, and with it the probe.
            page.locator("h1").click()
            until(page, "window.listens === true")
        return page

    return open_today


def ready(page: Page | Frame) -> None:
    expect(page.locator("today-session[data-ready]")).to_be_visible()


def until(page: Page, holds: str) -> None:
    """Wait for what the page does not show."""
    for _ in range(50):
        if page.evaluate(holds):
            return
        page.wait_for_timeout(100)
    pytest.fail(f"It did not come to hold: {holds}")


def heard(page: Page) -> list[dict[str, float]]:
    """Every onset so far: seconds of the audio clock, and the time of day [ms]."""
    found: list[dict[str, float]] = page.evaluate("window.heard")
    return found


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

    main.click()
    expect(main).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".tempo-word")).to_have_text("get ready")
    expect(page.locator(".tempo-word")).to_have_text("lower")
    expect(page.locator(".tempo-word")).to_have_text("lift fast")
    expect(page.locator(".tempo-about")).to_have_text("rep 2 of 2")
    expect(main).to_have_attribute("aria-pressed", "false", timeout=6000)

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
    expect(page.locator(".tempo-about")).to_have_text(re.compile("rep 1 of"), timeout=6000)

    assert heard(page) == []
    page.reload()
    ready(page)
    page.locator(".rest-main").click()
    expect(page.get_by_role("button", name="Sound off")).to_be_visible()


def test_the_end_of_a_rest_sounds_while_the_page_is_jammed(phone, planned):
    first_line(planned, rest_s=4)
    page = phone(hears=True)
    page.locator(".entry-save").click()
    expect(page.locator(".rest-main")).to_have_text(re.compile("rest 0:0[34]"))
    page.wait_for_timeout(700)
    since = page.evaluate("Date.now()")
    page.evaluate("() => window.jam(5000)")

    until(page, "window.heard.length >= 2")
    first, second = heard(page)[:2]
    assert 2000 < first["at"] - since < 3800
    assert abs(second["time"] - first["time"] - 0.24) < 0.005
    expect(page.locator("rest-timer [role=timer]")).to_have_text(re.compile(r"rested \+0:0\d"))


@pytest.mark.parametrize("shift", [3_600_000, -3_600_000], ids=["forward", "back"])
def test_setting_the_clock_neither_ends_nor_stretches_a_rest(phone, planned, shift):
    first_line(planned, rest_s=90)
    page = phone()
    page.locator(".entry-save").click()
    timer = page.locator("rest-timer [role=timer]")
    expect(timer).to_have_text(re.compile("rest 1:(2|30)"))

    page.evaluate("(shift) => { const real = Date.now; Date.now = () => real() + shift; }", shift)
    page.wait_for_timeout(1200)

    expect(timer).to_have_text(re.compile("rest 1:2[5-9]"))


def test_a_phone_that_slept_lost_no_rest(phone, planned):
    first_line(planned, rest_s=90)
    page = phone()
    page.locator(".entry-save").click()
    timer = page.locator("rest-timer [role=timer]")
    expect(timer).to_have_text(re.compile("rest 1:2"))

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

    expect(timer).to_have_text(re.compile("rest 0:2"))


def test_a_rest_is_made_longer_and_ended_by_thumb(phone, planned):
    first_line(planned, rest_s=60)
    page = phone()
    page.locator(".entry-save").click()
    timer = page.locator("rest-timer [role=timer]")
    expect(timer).to_have_text(re.compile("rest (1:00|0:5)"))

    page.locator(".rest-main").click()
    panel = page.get_by_role("group", name="The rest")
    assert all(b.bounding_box()["height"] >= 48 for b in panel.get_by_role("button").all())
    panel.get_by_role("button", name="+30 s").click()
    expect(panel).to_be_hidden()
    expect(timer).to_have_text(re.compile("rest 1:[12]"))
    page.reload()
    ready(page)
    expect(timer).to_have_text(re.compile("rest 1:[12]"))
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
    expect(page.locator(".hold-count")).to_have_text("0:03", timeout=8000)
    page.wait_for_timeout(300)
    main.click()

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


def test_a_column_of_the_floor_rests_and_beats_by_itself(open_page, ana, cleo, planned):
    page = open_page(ana, f"{reverse('sessions:floor')}?client={cleo.pk}")
    column = page.frame_locator("iframe")
    expect(column.locator("today-session[data-ready]")).to_be_visible()

    column.locator(".entry-save").click()
    expect(column.locator("rest-timer [role=timer]")).to_have_text(re.compile("rest "))
    column.locator(".tempo-main").click()

    expect(column.locator(".tempo-about")).to_have_text(re.compile("rep 1 of"), timeout=6000)
