"""What journeys on the phone share: wait until it is ready, log sets, read what is told."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect

TAP = 450
"""Longer than what counts as a bouncing finger [ms]."""


def ready(page: Page) -> None:
    expect(page.locator("today-session[data-ready]")).to_be_visible()


def save(page: Page, times: int = 1) -> None:
    """Log so many sets, each with one tap."""
    for _ in range(times):
        done = page.locator("ol .set.is-done").count()
        page.locator(".entry-save").tap()
        expect(page.locator("ol .set.is-done")).to_have_count(done + 1)
        page.wait_for_timeout(TAP)


def told(page: Page) -> Locator:
    return page.locator("saved-count")


def until(page: Page, holds: Callable[[], bool]) -> None:
    """Wait for what the page cannot show: a newer revision in the database."""
    for _ in range(200):
        if holds():
            return
        page.wait_for_timeout(100)
    pytest.fail("It did not come to hold within twenty seconds.")
