"""Today on a phone for the first time, on a slow network, beside a bare page of the same run.

.venv/bin/python -m tests.benchmarks.first_load

Slow 4G as browsers name it: 150 ms to the first byte, 1.6 Mbit/s down, 750 kbit/s up; a processor
four times as slow as this machine's. Usable: the set that comes can be logged with a tap.
"""

import os
import statistics
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.small_practice import make_practice
from tests.started import free_port, started

ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"]
LATENCY_MS, DOWN, UP, SLOWER = 150, 1_600_000 / 8, 750_000 / 8, 4
LOADS = 7
PAGES = {
    "floor: a bare page": ("/today/offline/", "kept-here"),
    "Today": ("/today/", "today-session[data-ready] .entry-save"),
}


def main() -> None:
    """Print one line a page: median milliseconds, bytes, requests, ratio to the floor."""
    folder = Path(tempfile.mkdtemp(prefix="blockwright-benchmark-")) / "gym"
    session, port = make_practice(folder), free_port()
    path = os.environ.get("BLOCKWRIGHT_CHROMIUM", "/usr/bin/chromium")
    with started("--data", str(folder), "--port", str(port)) as running, sync_playwright() as tool:
        running.until("Press Ctrl-C")
        browser = tool.chromium.launch(executable_path=path, args=ARGUMENTS)
        floor = 0.0
        for name, (url, wanted) in PAGES.items():
            home = f"http://127.0.0.1:{port}"
            loads = [load(browser, home, session, url, wanted) for _ in range(LOADS)]
            spent = statistics.median(one[0] for one in loads)
            floor = floor or spent
            _, size, requests = loads[-1]
            print(  # noqa: T201
                f"{name:20} {spent:6.0f} ms  {size / 1000:5.1f} kB  {requests:3} requests"
                f"  {spent / floor:4.1f} x floor"
            )
        browser.close()


def load(
    browser: Browser, home: str, session: str, url: str, wanted: str
) -> tuple[float, int, int]:
    """Open a page with nothing kept; milliseconds until it is usable, bytes and requests."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    context.add_cookies([{"name": "sessionid", "value": session, "url": home}])
    page = context.new_page()
    network = context.new_cdp_session(page)
    sizes: list[int] = []
    network.send("Network.enable")
    network.on(
        "Network.loadingFinished", lambda event: sizes.append(int(event["encodedDataLength"]))
    )
    network.send(
        "Network.emulateNetworkConditions",
        {
            "offline": False,
            "latency": LATENCY_MS,
            "downloadThroughput": DOWN,
            "uploadThroughput": UP,
        },
    )
    network.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    begun = time.perf_counter()
    page.goto(home + url, wait_until="commit")
    page.locator(wanted).first.tap(trial=True)
    spent = (time.perf_counter() - begun) * 1000
    page.wait_for_timeout(500)
    context.close()
    return spent, sum(sizes), len(sizes)


if __name__ == "__main__":
    main()
