/* <offline-keeper>: has the coming days kept on this phone, and says how far Today opens without a network. */
import { forgetPages, isDue, isThere, lastKept, rememberKept } from "./kept_pages.js";
import { data, opened, store } from "./store.js";

const NOT_HERE = "On this address Today cannot be opened without a network: keep this page open while you train.";

/* Another account on this phone: the pages of the one before are not for it. */
async function leaveNothingOfOthers() {
  const before = lastKept();
  if (!before || before.user === data.user) return;
  await forgetPages();
  await opened;
  await store.outbox.forgetKept(Infinity);
}

const left = leaveNothingOfOthers();

class OfflineKeeper extends HTMLElement {
  async connectedCallback() {
    if (!("serviceWorker" in navigator)) {
      this.textContent = NOT_HERE;
      return;
    }
    document.addEventListener("click", this.#onClick);
    /* What the page itself needs comes first. */
    if (document.readyState !== "complete") await new Promise((done) => window.addEventListener("load", done));
    await left;
    try {
      const { home, worker } = this.dataset;
      await navigator.serviceWorker.register(worker, { scope: home });
      await this.#keep((await navigator.serviceWorker.ready).active);
    } catch {
      this.textContent = NOT_HERE;
    }
  }

  async #keep(worker) {
    const now = Date.now();
    const before = lastKept();
    if (navigator.onLine && isDue(before, data.mark, now, await caches.keys())) {
      const version = await this.#ask(worker);
      if (version) rememberKept({ ...data.mark, version, user: data.user, at: now });
    }
    const kept = lastKept();
    if (!isThere(kept, await caches.keys())) return;
    const until = new Date(kept.at + data.days_ahead * 86400000);
    const day = until.toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short" });
    this.textContent = `Today opens without a network until ${day}.`;
  }

  /* My log is not kept: without a network the page that says what is. */
  #onClick = (event) => {
    if (navigator.onLine || !navigator.serviceWorker.controller) return;
    if (event.target.closest("a")?.getAttribute("href") !== data.log_url) return;
    event.preventDefault();
    location.assign(`${this.dataset.home}offline/`);
  };

  /* The worker goes on with it even when this page is closed. */
  #ask(worker) {
    const sessions = [...document.querySelectorAll(`a[href^="${this.dataset.home}?session="]`)];
    const keep = [...new Set(sessions.map((link) => link.getAttribute("href")))];
    if (location.search.startsWith("?session=")) keep.push(`${this.dataset.home}${location.search}`);
    const linked = document.querySelectorAll("script[src], link[rel=stylesheet]");
    const needs = [...linked].map((one) => new URL(one.src || one.href).pathname);
    const { port1, port2 } = new MessageChannel();
    return new Promise((resolve) => {
      port1.onmessage = ({ data: done }) => resolve(done);
      worker.postMessage({ keep: [...new Set(keep)], needs }, [port2]);
    });
  }
}

customElements.define("offline-keeper", OfflineKeeper);
