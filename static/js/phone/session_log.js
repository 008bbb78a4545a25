/* What is known of this session: the page's sets, what arrived since it was made, and what is unsent, as one. */
import { linesNow } from "./line_state.js";
import { keptChanges, keptSets, newest } from "./plan_state.js";
import { data, store } from "./store.js";

const isHere = (entry) =>
  entry.body.session === data.session || (entry.body.planned_session ?? "") === data.planned_session;

/* Taken back on another phone, after this one had sent it. */
const gone = (data.gone ?? []).map((one) => ({ ...one, removed: true }));

export class SessionLog {
  #server = new Map([...data.sets, ...data.changes, ...gone].map((one) => [one.uid, one]));
  #known;
  /* Exercises that were added on this phone and have no set yet. */
  #added = [];

  constructor() {
    if (data.about) this.#server.set(data.session, data.about);
    this.#known = new Map(this.#server);
    store.addEventListener("thrown", ({ detail }) => this.#forget(detail));
  }

  /* Take in what the outbox holds now. What was seen once stays, whoever sent it meanwhile. */
  refresh() {
    const arrived = store.kept.filter((entry) => isHere(entry) && entry.revision > (this.#server.get(entry.uid)?.revision ?? 0));
    for (const entry of [...arrived, ...store.entries.filter(isHere)]) if (entry.line) this.add(entry.line);
    this.#server = newest(this.#server, arrived);
    this.#known = newest(newest(this.#known, arrived), store.entries.filter(isHere));
  }

  get lines() {
    return linesNow([...data.lines, ...this.#added], keptChanges(this.#known));
  }

  get sets() {
    return keptSets(this.#known, data.lines);
  }

  /* The day that is written down afterwards, when it is not today. */
  get day() {
    const said = [...this.#known.values()].find((one) => one.on)?.on;
    return said ?? (data.is_past ? data.on : null);
  }

  /* An exercise that the plan does not know. */
  add(line) {
    if (!this.lines.some((one) => one.uid === line.uid)) this.#added.push(line);
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
