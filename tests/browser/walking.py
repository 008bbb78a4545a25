"""A walk on phones: entries, corrections, lost networks and servers, and what must be true after it.

Every amount that is said in a walk is a number of its own, so that each statement can be
found again: in the set that holds it now, or among what was corrected.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, field

from django.core.handlers.wsgi import WSGIHandler
from django.test.testcases import LiveServerThread, QuietWSGIRequestHandler
from playwright.sync_api import BrowserContext, Error, Page, Route

PATIENCE = 20_000
FIRST_AMOUNT = 100

# The clock of a phone can be moved without touching its timers.
CLOCK = """
(() => {
  const Real = Date;
  const shift = () => Number(localStorage.getItem("clock-shift") ?? 0);
  globalThis.Date = class extends Real {
    constructor(...given) { if (given.length) super(...given); else super(Real.now() + shift()); }
    static now() { return Real.now() + shift(); }
  };
})();
"""

WAIT = """
async function until(holds) {
  for (let i = 0; i < 2000; i += 1) {
    if (holds()) return true;
    await new Promise((done) => setTimeout(done, 10));
  }
  return false;
}
const cells = () => [...document.querySelectorAll("ol .set.is-done")];
const cell = (amount) => cells().find((one) => one.querySelector(".set-count").textContent === String(amount));
const form = document.querySelector("#entry");
const say = (amount) => {
  form.elements.amount.value = String(amount);
  form.elements.amount.dispatchEvent(new Event("input", { bubbles: true }));
  form.requestSubmit();
};
"""
LOG = f"async (amount) => {{ {WAIT} say(amount); return until(() => cell(amount)); }}"
EDIT = f"""async ([from, to]) => {{ {WAIT}
  cell(from).click(); say(to); return until(() => cell(to) && !cell(from)); }}"""
TAKE_BACK = f"""async (amount) => {{ {WAIT}
  cell(amount).click(); form.querySelector("[data-take-back]").click();
  return until(() => !cell(amount)); }}"""
SHOWN = f"() => {{ {WAIT} return cells().map((one) => Number(one.querySelector('.set-count').textContent)); }}"
FORGET = """async () => {
  localStorage.clear();
  for (const { name } of await indexedDB.databases()) {
    await new Promise((done) => { indexedDB.deleteDatabase(name).onsuccess = done; });
  }
}"""
NUDGE = "document.dispatchEvent(new Event('visibilitychange'))"


class OwnFiles(WSGIHandler):
    """Lets the application serve its static files, with its own headers."""

    def __init__(self, application: WSGIHandler) -> None:
        super().__init__()
        self.application = application

    def __call__(self, environ, start_response):
        return self.application(environ, start_response)


class _Reopening(LiveServerThread):
    """A server that takes its old port again at once, as a restarted one does."""

    def _create_server(self, connections_override=None):
        return self.server_class(
            (self.host, self.port),
            QuietWSGIRequestHandler,
            allow_reuse_address=True,
            connections_override=connections_override,
        )


class Server:
    """The real application on a port of its own; it can go away and come back."""

    def __init__(self) -> None:
        self.port = 0
        self.thread: LiveServerThread | None = None

    def start(self) -> None:
        thread = _Reopening("127.0.0.1", static_handler=OwnFiles, port=self.port)
        thread.daemon = True
        thread.start()
        thread.is_ready.wait()
        if thread.error:
            raise thread.error
        self.thread, self.port = thread, thread.port

    def stop(self) -> None:
        if self.thread is not None:
            self.thread.terminate()
        self.thread = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"


@dataclass
class Said:
    """All that was said of one set: by which phone, and how much; None took it back."""

    words: list[tuple[str, int | None]]

    @property
    def phones(self) -> set[str]:
        return {phone for phone, _ in self.words}

    def last_of(self, phone: str) -> int | None:
        return [amount for who, amount in self.words if who == phone][-1]


@dataclass
class Phone:
    """One phone with its tabs, and what happens to what it sends."""

    name: str
    context: BrowserContext
    path: str
    fate: str = "sent"
    is_offline: bool = False
    tabs: list[Page] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.context.add_init_script(CLOCK)
        self.context.route("**/sync/", self._on_sync)

    def _on_sync(self, route: Route) -> None:
        fate, self.fate = self.fate, "sent"
        if fate == "sent":
            route.continue_()
            return
        try:
            answer = route.fetch()
            if fate == "twice":
                answer = route.fetch()
        except Error:  # the server is away: so is the answer
            route.abort()
            return
        if fate == "lost":
            route.abort()
        else:
            route.fulfill(response=answer)

    def open_tab(self) -> Page:
        page = self.context.new_page()
        page.goto(self.path)
        self._ready(page)
        self.tabs.append(page)
        return page

    def begin_anew(self) -> None:
        """An empty phone again: one tab, nothing kept; what the browser has fetched stays."""
        self.fate, self.is_offline = "sent", False
        for page in self.tabs:
            page.close()
        self.tabs.clear()
        page = self.context.new_page()
        page.goto("/static/icons/icon.svg")
        page.evaluate(FORGET)
        page.close()
        self.open_tab()

    def reload(self, page: Page) -> None:
        page.reload()
        self._ready(page)

    def _ready(self, page: Page) -> None:
        page.locator("today-session[data-ready]").wait_for(timeout=PATIENCE)
        page.evaluate("document.querySelector('today-session').setAttribute('bounce', '0')")


@dataclass
class Walk:
    """One seeded walk; ``history`` is what the people with the phones know they said."""

    dice: random.Random
    server: Server
    phones: list[Phone]
    history: list[Said] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    amount: int = FIRST_AMOUNT

    def step(self) -> None:
        """One thing that happens to one phone."""
        phone = self.dice.choice(self.phones)
        page = self.dice.choice(phone.tabs)
        acts: list[tuple[int, Callable[[Phone, Page], None]]] = [
            (8, self._log),
            (4, self._edit),
            (1, self._take_back),
            (2, self._switch_network),
            (2, self._reload),
            (2, self._lose_answer),
            (2, self._send_twice),
            (1, self._restart),
            (1, self._move_clock),
            (1, self._second_tab),
        ]
        [(_, act)] = self.dice.choices(acts, weights=[weight for weight, _ in acts])
        self.steps.append(f"{phone.name}: {act.__name__.strip('_')}")
        act(phone, page)

    def _next_amount(self) -> int:
        self.amount += 1
        return self.amount

    def _must(self, held: object) -> None:
        assert held, f"the page did not do it: {self.steps}"

    def _log(self, phone: Phone, page: Page) -> None:
        amount = self._next_amount()
        self._must(page.evaluate(LOG, amount))
        self.history.append(Said([(phone.name, amount)]))

    def _shown_here(self, page: Page) -> list[tuple[int, Said]]:
        shown = set(page.evaluate(SHOWN))
        pairs = [(amount, said) for said in self.history for _, amount in said.words if amount]
        return [(amount, said) for amount, said in pairs if amount in shown]

    def _edit(self, phone: Phone, page: Page) -> None:
        found = self._shown_here(page)
        if not found:
            return
        before, said = self.dice.choice(found)
        after = self._next_amount()
        self._must(page.evaluate(EDIT, [before, after]))
        said.words.append((phone.name, after))

    def _take_back(self, phone: Phone, page: Page) -> None:
        found = self._shown_here(page)
        if not found:
            return
        before, said = self.dice.choice(found)
        self._must(page.evaluate(TAKE_BACK, before))
        said.words.append((phone.name, None))

    def _switch_network(self, phone: Phone, _page: Page) -> None:
        phone.is_offline = not phone.is_offline
        phone.context.set_offline(phone.is_offline)

    def _reload(self, phone: Phone, page: Page) -> None:
        if not phone.is_offline:
            phone.reload(page)

    def _lose_answer(self, phone: Phone, _page: Page) -> None:
        phone.fate = "lost"

    def _send_twice(self, phone: Phone, _page: Page) -> None:
        phone.fate = "twice"

    def _restart(self, phone: Phone, page: Page) -> None:
        self.server.stop()
        try:
            self._log(phone, page)
        finally:
            self.server.start()

    def _move_clock(self, phone: Phone, page: Page) -> None:
        hours = self.dice.choice([-3, -1, 1, 3])
        page.evaluate("(ms) => localStorage.setItem('clock-shift', ms)", str(hours * 3_600_000))

    def _second_tab(self, phone: Phone, _page: Page) -> None:
        if not phone.is_offline and len(phone.tabs) < 2:
            phone.open_tab()

    def settle(self) -> None:
        """Everybody gets a network again; wait until each phone says that all has arrived."""
        for phone in self.phones:
            phone.fate, phone.is_offline = "sent", False
            phone.context.set_offline(False)
        for phone in self.phones:
            for page in phone.tabs:
                page.evaluate(NUDGE)
            self._wait_until_all_arrived(phone.tabs[-1])

    def _wait_until_all_arrived(self, page: Page) -> None:
        words = ""
        for _ in range(200):
            words = page.locator("saved-count").inner_text()
            numbers = [int(one) for one in words.replace(",", " ").split() if one.isdecimal()]
            if "more to send" not in words and (not numbers or numbers[0] == numbers[-1]):
                return
            page.evaluate(NUDGE)
            page.wait_for_timeout(100)
        raise AssertionError(f"not all arrived: {words!r} after {self.steps}")
