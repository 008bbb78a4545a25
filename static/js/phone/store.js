/* One outbox and one sender for the whole page; every part of the page shares them. */
import { MemoryOutbox } from "./outbox_memory.js";
import { Outbox } from "./outbox.js";
import { Sender } from "./sender.js";

export const data = JSON.parse(document.getElementById("phone-data").textContent);

class Store extends EventTarget {
  entries = [];
  keeps = true;

  async open() {
    try {
      this.outbox = await Outbox.open();
    } catch {
      this.outbox = new MemoryOutbox();
      this.keeps = false;
    }
    this.sender = new Sender(this.outbox, data.user, data.today_url);
    this.sender.addEventListener("received", (event) => this.#received(event.detail));
    this.sender.addEventListener("changed", () => this.refresh());
    await this.refresh();
    this.sender.listen();
  }

  get state() {
    return this.sender?.state ?? "idle";
  }

  /* Into the outbox first; only when it lies there does anything on the screen change. */
  async save(entry) {
    await this.outbox.put({ ...entry, user: data.user, client: data.client, url: data.sync_url });
    await this.refresh();
    this.sender.flush();
  }

  async throwAway(entry) {
    await this.outbox.remove(entry.uid, entry.revision);
    this.dispatchEvent(new CustomEvent("thrown", { detail: entry }));
    await this.refresh();
  }

  async refresh() {
    this.entries = await this.outbox.all(data.user);
    this.dispatchEvent(new CustomEvent("changed"));
  }

  #received({ entry, receipt }) {
    this.dispatchEvent(new CustomEvent("received", { detail: { entry, receipt } }));
  }
}

export const store = new Store();
export const opened = store.open();
