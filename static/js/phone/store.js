/* One outbox and one sender for the whole page; every part of the page shares them. */
import { say } from "../say.js";
import { MemoryOutbox } from "./outbox_memory.js";
import { Outbox } from "./outbox.js";
import { NAME } from "./outbox_database.js";
import { Sender } from "./sender.js";
import { situation } from "./sending.js";
import { makeUid } from "./uid.js";
import { entryWords, lateWords } from "./unsent_words.js";

export const data = JSON.parse(document.getElementById("phone-data").textContent);

const DAY = 86400000;
/* A page kept for offline use is at most as old as this; what arrived since stands in "kept". */
const KEPT_FOR = 21 * DAY;

const BLOCKED = "Blockwright is open in another tab in an older version. Close that tab; this page waits for it.";
const NOT_KEPT = "This phone could not keep what you just entered: its storage is full or closed to this page. "
  + "It is not saved. Make room on the phone, or send what waits, then enter it again.";

/* Nothing was kept, and the page has said so already. */
class NotKeptError extends Error {}

window.addEventListener("unhandledrejection", (event) => {
  if (event.reason instanceof NotKeptError) event.preventDefault();
});

class Store extends EventTarget {
  /* Not handed in yet, oldest first; and what has arrived lately, with the values that the server holds. */
  entries = [];
  kept = [];
  keeps = true;
  #others = null;

  async open() {
    try {
      this.outbox = await Outbox.open(NAME, () => say(BLOCKED));
    } catch {
      this.outbox = new MemoryOutbox();
      this.keeps = false;
    }
    /* Housekeeping that fails takes nothing away: what is unsent lies there all the same. */
    this.outbox.forgetKept(Date.now() - KEPT_FOR).catch(() => {});
    this.sender = new Sender(this.outbox, data.user, data.today_url);
    this.sender.addEventListener("written", (event) => this.#written(event.detail));
    this.sender.addEventListener("changed", () => this.refresh());
    this.#listen();
    await this.refresh();
    this.sender.listen();
  }

  get state() {
    return this.sender?.state ?? "idle";
  }

  /* What is unsent of the client whom this page shows: a coach's phone may hold entries of several. */
  get mine() {
    return this.entries.filter((entry) => entry.client === data.client);
  }

  get situation() {
    return situation({ entries: this.mine, state: this.state, isOnline: navigator.onLine });
  }

  #listen() {
    for (const name of ["online", "offline"]) {
      window.addEventListener(name, () => this.dispatchEvent(new CustomEvent("changed")));
    }
    if (!("BroadcastChannel" in window)) return;
    this.#others = new BroadcastChannel(NAME);
    this.#others.onmessage = async () => {
      await this.refresh();
      /* Another page got through, or signed in: look whether this one does. */
      if (this.state !== "idle") this.sender.flush();
    };
  }

  /* Into the outbox first; only when it lies there does anything on the screen change. */
  async save(entry) {
    const words = entryWords(entry.body, data.lines ?? []);
    const about = { user: data.user, client: data.client, url: data.sync_url, words };
    try {
      await this.outbox.put({ ...entry, edit: entry.edit ?? makeUid(), ...about });
    } catch (error) {
      say(NOT_KEPT);
      throw new NotKeptError(NOT_KEPT, { cause: error });
    }
    await this.#changed();
    this.sender.flush();
    if (this.keeps) navigator.storage?.persist?.().catch(() => {});
  }

  /* Whoever asks for it wants all of it tried, also what was refused: the reason may be gone. */
  async sendNow() {
    const refused = this.mine.filter((entry) => entry.refused);
    for (const { uid, revision } of refused) await this.outbox.refuse(uid, revision, "");
    await this.#changed();
    await this.sender.flush();
  }

  async throwAway(entry) {
    await this.outbox.remove(entry.uid, entry.revision);
    this.dispatchEvent(new CustomEvent("thrown", { detail: entry }));
    await this.#changed();
  }

  async refresh() {
    const { entries, kept } = await this.outbox.all(data.user);
    [this.entries, this.kept] = [entries, kept];
    this.dispatchEvent(new CustomEvent("changed"));
  }

  async #changed() {
    await this.refresh();
    this.#others?.postMessage("changed");
  }

  async #written({ entry, receipt }) {
    await this.#changed();
    const late = receipt && lateWords(entry, receipt, data.lines ?? []);
    if (late) say(late);
  }
}

export const store = new Store();
export const opened = store.open();
