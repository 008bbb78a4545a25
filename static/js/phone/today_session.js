/* <today-session>: puts the set that comes under the thumb, keeps what is said, and shows where the session stands. */
import { aboutSession, newSet, revisedSet } from "./entries.js";
import { EntryCard } from "./entry_card.js";
import { PainSheet } from "./pain_sheet.js";
import { byPlace, furtherSlot, keyOf, nextSlot, restAfter, slotsOf, stopped } from "./plan_state.js";
import { SessionEnd } from "./session_end.js";
import { SessionLog } from "./session_log.js";
import { SetGrid } from "./set_grid.js";
import { data, opened, store } from "./store.js";

/* A finger that bounces must not log the next exercise too [ms]. */
const BOUNCE = 400;

class TodaySession extends HTMLElement {
  #slots = slotsOf(data.lines);
  #chosen = null;
  #correcting = null;
  #pair = undefined;
  #shown = "";
  #loggedAt = 0;

  async connectedCallback() {
    this.log = new SessionLog();
    this.grid = new SetGrid(this, data.lines);
    this.card = new EntryCard(this.querySelector("#entry"));
    this.pain = new PainSheet(this.querySelector("#pain-sheet"), data.pain_limit);
    this.end = new SessionEnd(this, data.lines);
    this.addEventListener("click", (event) => this.#onClick(event));
    this.card.addEventListener("log", (event) => this.#keep(event.detail));
    this.card.addEventListener("leave", () => this.#choose(null));
    this.card.addEventListener("hurts", ({ detail }) => this.pain.open(detail.set, this.#nameOf(detail.set)));
    for (const part of [this.card, this.pain]) part.addEventListener("say", ({ detail }) => this.#revise(detail));
    this.end.addEventListener("say", (event) => this.#sayOfSession(event.detail));
    await opened;
    store.addEventListener("changed", () => this.#paint());
    this.#paint();
    this.setAttribute("data-ready", "");
  }

  #lineOf(set) {
    return data.lines.find((line) => line.uid === set.prescription);
  }

  #nameOf(set) {
    return `${this.#lineOf(set)?.name}, set ${set.number}`;
  }

  #slotAt(key) {
    const [uid, number] = key.split(":");
    const line = data.lines.find((one) => one.uid === uid);
    return this.#slots.find((slot) => slot.key === key) ?? { key, line, number: Number(number), target: null };
  }

  /* Open a logged set in the card, to say it better or to take it back. */
  correct(uid) {
    const set = this.log.get(uid);
    if (set) this.#choose(this.#slotAt(keyOf(set.prescription, set.number)), uid);
  }

  #choose(slot, correcting = null) {
    [this.#chosen, this.#correcting] = [slot, correcting];
    this.#paint();
  }

  #onClick(event) {
    const cell = event.target.closest("ol [data-slot]");
    const more = event.target.closest("[data-more]");
    if (more) this.#choose(furtherSlot(data.lines.find((line) => line.uid === more.dataset.more), this.log.sets));
    if (!cell) return;
    const set = byPlace(this.log.sets).get(cell.dataset.slot);
    if (set) this.correct(set.uid);
    else this.#choose(this.#slotAt(cell.dataset.slot));
  }

  async #keep({ slot, set, values }) {
    if (Date.now() - this.#loggedAt < BOUNCE) return;
    this.#loggedAt = Date.now();
    await store.save(set ? revisedSet(data, this.log.get(set.uid), values) : newSet(data, slot, values));
    this.#choose(null);
  }

  async #revise({ set, changes }) {
    await store.save(revisedSet(data, this.log.get(set.uid), changes));
    if (changes.removed) this.#choose(null);
  }

  async #sayOfSession({ finished, ...changes }) {
    const { about } = this.log;
    if (finished) changes.finished_at = about?.finished_at ?? new Date().toISOString();
    await store.save(aboutSession(data, about, changes));
    this.#choose(null);
    const summary = this.querySelector("#summary");
    if (!summary.hidden) summary.focus();
  }

  #paint() {
    this.log.refresh();
    const { about, sets } = this.log;
    const isOver = Boolean(about?.finished_at || about?.skipped_reason);
    const painful = stopped(sets, data.pain_limit);
    const next = isOver ? null : nextSlot(this.#slots, sets, data.pain_limit);
    const current = this.#chosen ?? next;
    this.grid.paint(sets, current, painful);
    this.end.paint(about, sets, next === null);
    this.#placeCard(current, sets, painful);
    this.#tellTheBars(about, sets, next);
  }

  #tellTheBars(about, sets, next) {
    const began = sets.length ? Date.parse(sets[0].done_at) : null;
    const ended = about?.finished_at ? Date.parse(about.finished_at) : null;
    document.querySelector("saved-count").count(sets);
    document.querySelector("session-clock").run(began, ended, data.minutes);
    const timer = document.querySelector("rest-timer");
    if (next) timer.start(restAfter(sets, data.lines));
    else timer.stop();
  }

  #placeCard(slot, sets, painful) {
    if (!slot) {
      this.card.hide();
      return this.#openPair(null);
    }
    const set = this.#correcting ? this.log.get(this.#correcting) : null;
    const last = sets.at(-1);
    const before = sets.findLast((one) => one.prescription === slot.line.uid);
    const after = last && { set: last, line: this.#lineOf(last) };
    const load = { load: before?.load ?? slot.line.load, amount: before?.amount ?? 0 };
    const place = this.grid.pairOf(slot.line).querySelector(".entry-place");
    const moves = this.card.form.parentElement !== place;
    const hadFocus = moves && this.card.form.contains(document.activeElement);
    if (moves) place.append(this.card.form);
    this.card.show({ slot, set, after, load, isStopped: painful.has(slot.line.uid) });
    if (hadFocus) this.card.form.querySelector(".entry-save").focus({ preventScroll: true });
    this.#openPair(slot.line.pair);
    if (this.#shown !== slot.key) this.grid.reveal(slot.key, this.card.form);
    this.#shown = slot.key;
  }

  #openPair(letter) {
    if (this.#pair === letter) return;
    const isFirst = this.#pair === undefined;
    this.#pair = letter;
    this.grid.open(letter);
    if (!isFirst && letter) this.querySelector(`[data-pair="${CSS.escape(letter)}"]`).scrollIntoView({ block: "start" });
  }
}

await Promise.all(["saved-count", "rest-timer", "session-clock"].map((tag) => customElements.whenDefined(tag)));
customElements.define("today-session", TodaySession);
