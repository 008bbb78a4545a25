"""Today on a phone whose sounds are listened to.

Onsets are measured where the sound is made, on the audio thread, with its own time of day: a page that is
busy can delay neither.
"""

import json

import pytest
from django.urls import reverse
from playwright.sync_api import Page

from clients.models import Client
from coaching.blocks.models import PlannedSession
from tests.browser.conftest import PHONE
from tests.browser.on_phone import ready

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


def first_line(planned: PlannedSession, **values):
    """Change what is planned first."""
    line = planned.pairs.all()[0].prescriptions.all()[0]
    for name, value in values.items():
        setattr(line, name, value)
    line.save()
    return line


def open_today(open_page, cleo: Client, *, hears: bool = False) -> Page:
    """Open Today on a phone; with ``hears`` its sounds are listened to."""
    # The policy of the page is lifted for the probe alone; the other journeys run under it.
    page: Page = open_page(cleo.user, reverse("sessions:my-log"), viewport=PHONE, bypass_csp=hears)
    page.context.add_init_script(LISTEN.replace("PROBE", json.dumps(PROBE if hears else "")))
    page.goto(reverse("sessions:today"))
    ready(page)
    if hears:
        # The first tap makes the audio clock, and with it the probe.
        page.locator("h1").click()
        until(page, "window.listens === true")
    return page


def until(page: Page, holds: str) -> None:
    """Wait for what the page does not show."""
    for _ in range(200):
        if page.evaluate(holds):
            return
        page.wait_for_timeout(100)
    pytest.fail(f"It did not come to hold: {holds}")


def heard(page: Page) -> list[dict[str, float]]:
    """Every onset so far: seconds of the audio clock, and the time of day [ms]."""
    found: list[dict[str, float]] = page.evaluate("window.heard")
    return found
