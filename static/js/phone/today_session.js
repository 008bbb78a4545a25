/* <today-session>: puts the set that comes under the thumb, keeps what is said, and shows where the session stands. */
import { AddExercise } from "./add_exercise.js";
import { BOUNCE, bounced } from "./bounce.js";
import { CardPlace } from "./card_place.js";
import { aboutSession, lineChange, newSet, revisedSet } from "./entries.js";
import { EntryCard } from "./entry_card.js";
import { InTurn } from "./in_turn.js";
import { lineKey, momentFor, startFrom } from "./line_state.js";
import { LineSheet } from "./line_sheet.js";
import { NoteSheet } from "./note_sheet.js";
import { PainSheet } from "./pain_sheet.js";
import { byPlace, furtherSlot, hurtBefore, nextSlot, slotAt, slotsOf, stopped, warmUpSlot } from "./plan_state.js";
import { tellTheBars } from "./session_bars.js";
import { SessionDay, sessionUid } from "./session_day.js";
import { SessionEnd } from "./session_end.js";
import { SessionLog } from "./session_log.js";
import { SetGrid } from "./set_grid.js";
import { data, opened, store } from "./store.js";

class TodaySession extends HTMLElement {
  #lines = [];
  #chosen = null;
  #correcting = null;
  #turn = new InTurn();

  async connectedCallback() {
    data.session ||= sessionUid();
    this.log = new SessionLog();
    this.grid = new SetGrid(this);
    this.card = new EntryCard(this.querySelector("#entry"));
    this.place = new CardPlace(this, this.card, this.grid);
    this.pain = new PainSheet(this.querySelector("#pain-sheet"), data.pain_limit);
    this.note = new NoteSheet(this.querySelector("#note-sheet"));
    this.sheet = new LineSheet(this.querySelector("#line-sheet"));
    this.end = new SessionEnd(this);
    this.day = new SessionDay(this.querySelector("#session-day"), data, this.log);
    this.more = new AddExercise(this, data.exercises_url);
    this.#listen();
    await opened;
    store.addEventListener("changed", () => this.#paint());
    this.#paint();
    this.setAttribute("data-ready", "");
  }

  #listen() {
    this.addEventListener("click", (event) => this.#onClick(event));
    this.card.addEventListener("log", this.#keep);
    this.card.addEventListener("leave", () => this.#choose(null));
    this.card.addEventListener("hurts", ({ detail }) => this.pain.open(detail.set, this.#nameOf(detail.set)));
    this.card.addEventListener("note", ({ detail }) => this.note.open(detail.set, this.#nameOf(detail.set)));
    for (const part of [this.card, this.pain, this.note]) part.addEventListener("say", this.#revise);
    this.end.addEventListener("say", this.#sayOfSession);
    this.sheet.addEventListener("change", ({ detail }) => store.save(lineChange(data, detail.line, detail.changes)));
    this.sheet.addEventListener("warm-up", ({ detail }) => this.#choose(warmUpSlot(detail.line, this.log.sets)));
    this.more.addEventListener("add", ({ detail }) => {
      this.log.add(detail);
      this.#choose(furtherSlot(detail, this.log.sets));
    });
  }

  #lineOf(set) {
    return this.#lines.find((line) => line.uid === lineKey(set));
  }

  #nameOf(set) {
    return `${this.#lineOf(set)?.name}, set ${set.number}`;
  }

  /* Open a logged set in the card, to say it better or to take it back. */
  correct(uid) {
    const found = [...byPlace(this.log.sets)].find(([, set]) => set.uid === uid);
    if (found) this.#choose(slotAt(found[0], this.#lines), uid);
  }

  #choose(slot, correcting = null) {
    [this.#chosen, this.#correcting] = [slot, correcting];
    this.#paint();
  }

  #onClick(event) {
    const line = (uid) => this.#lines.find((one) => one.uid === uid);
    const cell = event.target.closest("ol [data-slot]");
    const more = event.target.closest("[data-more]");
    const change = event.target.closest("[data-change]");
    if (more) this.#choose(furtherSlot(line(more.dataset.more), this.log.sets));
    if (change?.dataset.change) this.sheet.open(line(change.dataset.change));
    if (!cell) return;
    const set = byPlace(this.log.sets).get(cell.dataset.slot);
    if (set) this.correct(set.uid);
    else this.#choose(slotAt(cell.dataset.slot, this.#lines));
  }

  #keep = ({ detail }) => this.#turn.once(async () => {
    if (bounced(Number(this.getAttribute("bounce") ?? BOUNCE))) return;
    const { slot, set, values } = detail;
    const at = momentFor(data.day, this.log.sets, Date.now());
    await this.#save(set ? revisedSet(data, this.log.get(set.uid), values) : newSet(data, slot, values, Date.now(), at));
    /* Nothing tells what comes after a set without a plan: most often another of the same. */
    const goesOn = !set && !slot.aside && slot.line.targets.length === 0;
    this.#choose(goesOn ? furtherSlot(slot.line, this.log.sets) : null);
  });

  #revise = ({ detail: { set, changes } }) => this.#turn.after(async () => {
    await this.#save(revisedSet(data, this.log.get(set.uid), changes));
    if (changes.removed) this.#choose(null);
  });

  /* An exercise that the plan does not know is kept with its set: after a reload only the outbox knows it. */
  #save(entry) {
    const line = entry.body.prescription === null ? this.#lineOf(entry.body) : undefined;
    return store.save({ ...entry, line });
  }

  #sayOfSession = ({ detail }) => this.#turn.after(async () => {
    await store.save(aboutSession(data, this.log.about, detail));
    this.#choose(null);
    const summary = this.querySelector("#summary");
    if (!summary.hidden) summary.focus();
  });

  #paint() {
    this.log.refresh();
    const { about, lines, sets } = this.log;
    this.#lines = lines;
    this.day.paint(sets.length > 0 || Boolean(about));
    const isOver = Boolean(about?.finished_at || about?.skipped_reason);
    const painful = stopped(sets, data.pain_limit);
    const next = isOver ? null : nextSlot(slotsOf(lines), sets, data.pain_limit);
    const current = this.#chosen ?? next;
    this.grid.paint(lines, sets, current, painful);
    this.end.paint(lines, about, sets, next === null && slotsOf(lines).length > 0);
    this.#showCard(current, sets, painful);
    tellTheBars({ about, lines, sets, next, data });
  }

  #showCard(slot, sets, painful) {
    if (!slot) return this.place.clear();
    const line = this.#lines.find((one) => one.uid === slot.line.uid);
    const set = this.#correcting ? this.log.get(this.#correcting) : null;
    const last = sets.at(-1);
    const after = last && { set: last, line: this.#lineOf(last) };
    const start = startFrom(line, sets);
    const worst = hurtBefore(line, sets, data.pain_limit);
    const hurt = worst && { ...worst, name: this.#lineOf(worst)?.name ?? "" };
    this.place.show({ slot: { ...slot, line }, set, after, start, isStopped: painful.has(line.uid), hurt });
  }
}

await Promise.all(["saved-count", "rest-timer", "session-clock"].map((tag) => customElements.whenDefined(tag)));
customElements.define("today-session", TodaySession);
