"""Today for the first time on a phone, from the server that people start: how much comes over the air."""

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.browser.on_phone import ready
from tests.small_practice import make_practice
from tests.started import free_port, started

MOST = 80_000
"""Bytes of everything that Today loads, compressed, headers included."""


@dataclass(frozen=True)
class Server:
    """Where a practice is served, and the session of its client."""

    url: str
    session: str


@pytest.fixture(scope="module")
def server(tmp_path_factory) -> Iterator[Server]:
    """A practice behind waitress, with names by hash and compressed files."""
    folder = tmp_path_factory.mktemp("practice") / "gym"
    session = make_practice(folder)
    port = free_port()
    with started("--data", str(folder), "--port", str(port)) as running:
        running.until("Press Ctrl-C")
        yield Server(f"http://127.0.0.1:{port}", session)


def test_today_is_small_asks_for_each_file_once_and_may_keep_all_of_them(new_context, server):
    context = new_context(base_url=server.url, viewport=PHONE, has_touch=True, is_mobile=True)
    context.add_cookies([{"name": "sessionid", "value": server.session, "url": server.url}])
    page = context.new_page()
    sizes: dict[str, float] = {}
    asked: list[str] = []
    keeping: dict[str, str] = {}
    network = context.new_cdp_session(page)
    network.send("Network.enable")
    network.on("Network.requestWillBeSent", lambda e: asked.append(e["request"]["url"]))
    network.on(
        "Network.loadingFinished", lambda e: sizes.update({e["requestId"]: e["encodedDataLength"]})
    )
    page.on("response", lambda r: keeping.update({r.url: r.headers.get("cache-control", "")}))

    page.goto("/today/")
    ready(page)
    page.locator(".entry-save").tap(trial=True)
    expect(page.locator("offline-keeper")).to_contain_text(
        "opens without a network", timeout=30_000
    )

    files = [url for url in asked if "/static/" in url]
    assert sum(sizes.values()) <= MOST
    assert len(files) == len(set(files))
    assert [url for url in files if "immutable" not in keeping[url]] == []
    assert not [url for url in files if "htmx" in url or "plotly" in url]
    # The worker that was just installed opens it again, with the files of this server.
    context.set_offline(True)
    page.reload()
    ready(page)
