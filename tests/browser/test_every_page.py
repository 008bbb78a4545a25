"""Every page of the table in both themes: no accessibility violation, nothing on the console."""

from typing import Any

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from django.urls import reverse
from playwright.sync_api import Page, expect

from tests.architecture.url_table import TABLE, Row, build_world
from tests.browser.conftest import DESK, PHONE

PAGES = {name: row for name, row in TABLE.items() if row.page}
ALL = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# Without preload: axe would fetch the style sheets again, which our content policy forbids.
# Nobody reads what passes, and to tell of each element of it takes longer than to check it.
FAST = {"preload": False, "resultTypes": ["violations"]}
EVERYTHING = {**FAST, "runOnly": {"type": "tag", "values": ALL}}
# The other theme changes colours and nothing else.
COLOURS = {**FAST, "runOnly": {"type": "rule", "values": ["color-contrast"]}}

DARK = "matchMedia('(prefers-color-scheme: dark)').matches"
MOTIONS = "document.getAnimations().length"


def violations(page: Page, options: dict[str, Any]) -> list[str]:
    found = page.evaluate("async (options) => (await axe.run(options)).violations", options)
    return [
        f"{page.url}: {one['id']}: {one['help']} ({one['nodes'][0]['html'][:120]})" for one in found
    ]


def is_too_wide(page: Page) -> bool:
    root = "document.documentElement"
    return bool(page.evaluate(f"{root}.scrollWidth > {root}.clientWidth"))


def faults_of(page: Page) -> list[str]:
    """What is wrong with one page, opened for somebody who asks for less motion, in both themes."""
    expect(page.locator("[hx-trigger^=load], .htmx-request")).to_have_count(0)
    page.evaluate(AXE_SCRIPT)
    found = violations(page, EVERYTHING)
    if is_too_wide(page):
        found.append(f"{page.url}: wider than its window")
    page.emulate_media(color_scheme="dark")
    page.wait_for_function(DARK)
    # Nothing to wait for: without motion, every colour is the new one at once.
    if page.evaluate(MOTIONS):
        found.append(f"{page.url}: its colours move, though less motion is asked for")
    return [*found, *(f"dark: {one}" for one in violations(page, COLOURS))]


@pytest.mark.parametrize("who", ["nobody", "coach", "client"])
def test_every_page_is_accessible_in_both_themes_and_quiet(open_page, who):
    world = build_world()
    users = {"nobody": None, "coach": world.ana, "client": world.cleo.user}
    pages = [reverse(n, kwargs=r.kwargs(world)) for n, r in PAGES.items() if shown_to(r) == who]

    faults = []
    size = DESK if who == "coach" else PHONE
    page = open_page(users[who], viewport=size, reduced_motion="reduce")
    for url in pages:
        page.emulate_media(color_scheme="light")
        page.goto(url)
        faults += faults_of(page)

    assert pages
    assert faults == []


def shown_to(row: Row) -> str:
    """Who is shown a page: the one it is for, on the device it is made for."""
    if row.is_open:
        return "nobody"
    return "coach" if "own coach" in row.allowed else "client"


@pytest.mark.parametrize(("motion", "moves"), [("reduce", False), ("no-preference", True)])
def test_whoever_asks_for_less_motion_sees_none(open_page, ana, motion, moves):
    page = open_page(ana, reverse("library:exercises"), reduced_motion=motion)
    page.locator(".button").first.evaluate("(button) => button.setAttribute('aria-busy', 'true')")
    page.locator(".evidence > summary").first.click()

    page.emulate_media(color_scheme="dark")
    page.wait_for_function(DARK)

    assert (page.evaluate(MOTIONS) > 0) is moves


def test_a_colour_that_cannot_be_read_by_night_is_found(open_page, ana):
    page = open_page(ana, reverse("library:sources"), reduced_motion="reduce", bypass_csp=True)
    page.add_style_tag(content="h1 { color: light-dark(black, oklch(0.3 0 0)) }")

    [fault] = faults_of(page)

    assert fault.startswith("dark: ")
    assert "color-contrast" in fault
    assert "<h1" in fault
