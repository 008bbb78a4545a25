"""How many keys the review of a large practice takes, and how long the server lets the coach wait.

.venv/bin/python -m tests.benchmarks.review_acts
.venv/bin/python -m tests.benchmarks.review_acts --clients 24

Every client of last week is reviewed by keyboard alone: for those who need the coach the first
proposal is applied and the week closed; for the others the next targets are looked at and accepted
together. An act is one key. Times are those that the coach sees, beside the page of sources in the same run.
"""

import argparse
import os
import statistics
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from playwright.sync_api import Page, expect, sync_playwright

from tests.benchmarks.first_load import ARGUMENTS
from tests.benchmarks.practice import open_practice
from tests.benchmarks.replay import practice
from tests.started import free_port, started

APPLIES = ("d", "a", "h")
"""Keys that apply what is proposed: a light week, next targets, or holding."""
PATIENCE = 180_000


@dataclass
class Review:
    """The coach at the keyboard."""

    page: Page
    acts: int = 0
    seconds: list[float] = field(default_factory=list)
    flagged: list[int] = field(default_factory=list)

    def press(self, key: str) -> None:
        """One act, until the page has answered it."""
        self.acts += 1
        began = time.perf_counter()
        self.page.evaluate("document.activeElement?.blur()")
        with self.page.expect_response(lambda one: one.request.resource_type in KINDS):
            self.page.keyboard.press(key)
        self.page.wait_for_load_state("load")
        expect(self.page.locator(".htmx-request, .htmx-swapping")).to_have_count(0)
        self.seconds.append(time.perf_counter() - began)

    def offers(self, key: str) -> bool:
        """Whether the page has a command on that key."""
        found = self.page.locator(f"key-commands [data-key={key}]:visible")
        return found.count() > 0

    def of_the_panel(self, key: str) -> bool:
        """Whether the opened client's panel has a command on that key."""
        return self.page.locator(f"#panel [data-key={key}]:visible").count() > 0

    def flagged_client(self) -> None:
        """Apply what is proposed for the client who is open, and go on to the next."""
        before = self.acts
        key = next((one for one in APPLIES if self.of_the_panel(one)), None)
        if key is not None:
            self.press(key)
            if self.offers("p"):
                self.press("p")
            self.flagged.append(self.acts - before)
        self.press("r")

    def routine(self) -> None:
        """Look at the next targets of the others, and accept them."""
        self.press("g")
        self.press("a")


KINDS = {"document", "fetch", "xhr"}


def session_of_coach() -> str:
    """Sign the coach of the practice in; the key of the session."""
    from clients.models import User  # noqa: PLC0415 - after the practice is opened
    from demo_fixtures.load import COACH_EMAIL  # noqa: PLC0415
    from tests.small_practice import session_of  # noqa: PLC0415

    return session_of(User.objects.get(email=COACH_EMAIL))


def waiting(page: Page) -> int:
    """How many clients the list puts first."""
    return page.locator(".review-list > section:not(.review-plan) .worklist-item").count()


def review_all(page: Page, home: str, monday: date) -> Review:
    """Review everybody's week; what it took."""
    page.goto(f"{home}/review/?week={monday.isoformat()}", timeout=PATIENCE)
    coach = Review(page)
    for _ in range(waiting(page)):
        coach.flagged_client()
    if coach.offers("g"):
        coach.routine()
    return coach


def main(arguments: Sequence[str] | None = None) -> None:
    """Print acts and times."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.review_acts")
    parser.add_argument("--clients", type=int, default=60)
    parser.add_argument("--weeks", type=int, default=20)
    given = parser.parse_args(arguments)
    today = date.today()  # noqa: DTZ011 - the demo counts by the machine's own day
    monday = today - timedelta(days=today.weekday())
    # As on Monday morning: the week before is over, and nobody has looked at it.
    open_practice(practice(given.clients, given.weeks), monday)
    monday -= timedelta(weeks=1)
    key, port = session_of_coach(), free_port()
    path = os.environ.get("BLOCKWRIGHT_CHROMIUM", "/usr/bin/chromium")
    folder = os.environ["BLOCKWRIGHT_DATA"]
    with started("--data", folder, "--port", str(port)) as running, sync_playwright() as tool:
        running.until("Press Ctrl-C")
        browser = tool.chromium.launch(executable_path=path, args=ARGUMENTS)
        home = f"http://127.0.0.1:{port}"
        context = browser.new_context(base_url=home, viewport={"width": 1440, "height": 900})
        context.add_cookies([{"name": "sessionid", "value": key, "url": home}])
        page = context.new_page()
        page.set_default_timeout(PATIENCE)
        began = time.perf_counter()
        page.goto(f"{home}/sources/")
        floor = time.perf_counter() - began
        began = time.perf_counter()
        coach = review_all(page, home, monday)
        whole = time.perf_counter() - began
        left = waiting(page)
        browser.close()
    waits = sorted(coach.seconds)
    print(  # noqa: T201
        f"{given.clients} clients, {len(coach.flagged)} with an applied decision, {left} left over\n"
        f"acts: {coach.acts} in all, at most {max(coach.flagged, default=0)} until a decision "
        f"of a flagged client is applied\n"
        f"waiting after an act: median {statistics.median(waits):.2f} s "
        f"({statistics.median(waits) / floor:.1f} x the page of sources), slowest {waits[-1]:.2f} s; "
        f"all {whole:.0f} s"
    )


if __name__ == "__main__":
    main()
