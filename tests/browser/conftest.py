"""Journeys in headless Chromium against the real server, with the content policy on."""

import contextlib
import os
import sqlite3
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from unittest.mock import patch

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connection
from django.test import TransactionTestCase, override_settings
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import BrowserContext, ConsoleMessage, Locator, Page, Request, expect
from pytest_django.live_server_helper import LiveServer

from clients.models import User
from coaching.blocks.models import PlannedSession
from tests.browser.on_phone import ready
from tests.browser.walking import OwnFiles
from tests.conftest import load_shared
from tests.factories.blocks import published_block
from tests.small_practice import session_of

PHONE = {"width": 390, "height": 844}
DESK = {"width": 1440, "height": 900}
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # A name of a local network, on which browsers take plain http for what it is: not secure.
    "--host-resolver-rules=MAP gym.test 127.0.0.1",
)

# How long a page may take is measured elsewhere; here another half of the tests may run beside it.
expect.set_options(timeout=20_000)


def pytest_collection_modifyitems(items) -> None:
    """Everything in this folder is a browser journey."""
    here = Path(__file__).parent
    for item in items:
        if here in Path(item.path).parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args) -> dict[str, object]:
    """Debian's Chromium; Playwright's own cannot be fetched everywhere."""
    path = os.environ.get("BLOCKWRIGHT_CHROMIUM", "/usr/bin/chromium")
    return {**browser_type_launch_args, "executable_path": path, "args": list(QUIET)}


@pytest.fixture(scope="package", autouse=True)
def gathered(tmp_path_factory) -> Iterator[None]:
    """Static files as people are served them: one script and one sheet a page, kept for ever."""
    storages = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "clients.static_storage.GatheredFiles"},
    }
    with override_settings(STATIC_ROOT=tmp_path_factory.mktemp("static"), STORAGES=storages):
        call_command("collectstatic", interactive=False, verbosity=0)
        yield


@pytest.fixture(scope="package")
def live_server(gathered) -> Iterator[LiveServer]:
    """The application serves its files itself, as in use; Django's own handler would go before it."""
    with patch("django.contrib.staticfiles.handlers.StaticFilesHandler", OwnFiles):
        server = LiveServer("localhost")
    yield server
    server.stop()


@pytest.fixture(scope="package")
def as_delivered(django_db_setup, django_db_blocker) -> Iterator[None]:
    """After each test the database file is copied back from memory, the shared library in it.

    Transactions are really committed here. To empty the database and load the library anew takes
    a good second of the processor for each test; a database elsewhere has no other way.
    """
    if connection.vendor != "sqlite":
        yield
        return
    with contextlib.closing(sqlite3.connect(":memory:")) as kept:

        def copy_back(_: TransactionTestCase) -> None:
            connection.ensure_connection()
            kept.backup(connection.connection)

        with django_db_blocker.unblock():
            load_shared()
            connection.connection.backup(kept)
        with patch.object(TransactionTestCase, "_fixture_teardown", copy_back):
            yield


@pytest.fixture(autouse=True)
def practice(as_delivered, transactional_db) -> None:
    """What every practice starts with stands in the database."""
    if connection.vendor != "sqlite":
        load_shared()


@pytest.fixture
def troubles() -> list[str]:
    """What the browser complained about; a test may empty it when that was meant."""
    return []


@pytest.fixture
def open_page(live_server, new_context, troubles, request) -> Iterator[Callable[..., Page]]:
    """Opens pages for somebody; fails on console errors and on requests to other hosts."""
    pages: list[Page] = []

    def open_one(user: User | None = None, path: str = "/", **context) -> Page:
        made: BrowserContext = new_context(base_url=live_server.url, **context)
        if user is not None:
            sign_in(made, live_server.url, user)
        page = made.new_page()
        watch(page, live_server.url, troubles)
        page.goto(path)
        pages.append(page)
        return page

    yield open_one
    failed = getattr(request.node, "failed", False)
    for number, page in enumerate(pages):
        if failed and not page.is_closed():
            folder = Path(settings.BASE_DIR) / "test-results"
            folder.mkdir(exist_ok=True)
            page.screenshot(path=folder / f"{request.node.name}-{number}.png", full_page=True)
    assert troubles == []


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    """Remember a failure, so that a picture of it is kept."""
    report = yield
    if report.when == "call" and report.failed:
        item.failed = True
    return report


def watch(page: Page, home: str, troubles: list[str]) -> None:
    """Write down console errors, script errors and requests that leave the machine."""

    def on_console(message: ConsoleMessage) -> None:
        if message.type == "error":
            troubles.append(f"console: {message.text}")

    def on_request(sent: Request) -> None:
        if not sent.url.startswith((home, "data:", "blob:")):
            troubles.append(f"left the machine: {sent.url}")

    page.on("console", on_console)
    page.on("pageerror", lambda error: troubles.append(f"script: {error}"))
    page.on("request", on_request)


def sign_in(context: BrowserContext, url: str, user: User) -> None:
    """Sign somebody in without the sign-in page."""
    key = session_of(user)
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": key, "url": url}])


def click_and_settle(page: Page, locator: Locator) -> None:
    """Click and wait until HTMX has put its answer in place."""
    locator.click()
    expect(page.locator(".htmx-request, .htmx-swapping, .htmx-settling")).to_have_count(0)


@pytest.fixture
def planned(cleo) -> PlannedSession:
    """A session of today with pairs of pushing and pulling."""
    today = cleo.local_date(timezone.now())
    block = published_block(cleo, today - timedelta(days=today.weekday()), "upper-lower")
    row = PlannedSession.objects.filter(week__block=block).order_by("on")[0]
    PlannedSession.objects.filter(week__block=block, on=today).exclude(pk=row.pk).delete()
    row.on = today
    row.save()
    return row


@pytest.fixture
def phone(open_page, cleo, planned) -> Callable[..., Page]:
    """Opens Today on a phone and waits until it is ready for a thumb."""

    def open_today(user=None, url="") -> Page:
        page: Page = open_page(
            user or cleo.user,
            url or reverse("sessions:today"),
            viewport=PHONE,
            has_touch=True,
            is_mobile=True,
        )
        ready(page)
        return page

    return open_today
