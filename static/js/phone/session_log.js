/* What is known of this session: the page's sets, what arrived since it was made, and what is unsent, as one. */
import { keptSets, newest } from "./plan_state.js";
import { data, store } from "./store.js";

const isHere = (entry) =>
  entry.body.session === data.session || (entry.body.planned_session ?? "") === data.planned_session;

/* Taken back on another phone, after this one had sent it. */
const gone = (data.gone ?? []).map((one) => ({ ...one, removed: true }));

export class SessionLog {
  #server = new Map([...data.sets, ...gone].map((set) => [set.uid, set]));
  #known;

  constructor() {
    if (data.about) this.#server.set(data.session, data.about);
    this.#known = new Map(this.#server);
    store.addEventListener("thrown", ({ detail }) => this.#forget(detail));
  }

  /* Take in what the outbox holds now. What was seen once stays, whoever sent it meanwhile. */
  refresh() {
    const arrived = store.kept.filter((entry) => isHere(entry) && entry.revision > (this.#server.get(entry.uid)?.revision ?? 0));
    this.#server = newest(this.#server, arrived);
    this.#known = newest(newest(this.#known, arrived), store.entries.filter(isHere));
  }

  get sets() {
    return keptSets(this.#known);
  }

  get about() {
    return this.#known.get(data.session);
  }

  get(uid) {
    return this.#known.get(uid);
  }

  #forget(entry) {
    const before = this.#server.get(entry.uid);
    if (before) this.#known.set(entry.uid, before);
    else this.#known.delete(entry.uid);
  }
}
