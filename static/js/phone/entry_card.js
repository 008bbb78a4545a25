/* The card under the thumb: the set that comes, and below it the set that was just done. */
import { EntryLoad } from "./entry_load.js";
import { amountWords, loadWords, painWords, saveWords } from "./phone_words.js";
import { usuallyFirst } from "./tempo_plan.js";

export class EntryCard extends EventTarget {
  #slot = null;
  #set = null;
  #after = null;

  constructor(form) {
    super();
    this.form = form;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#tell("log", { slot: this.#slot, set: this.#set, values: this.#values() });
    });
    form.addEventListener("input", (event) => this.#onInput(event));
    form.addEventListener("held", ({ detail }) => this.#setAmount(detail.seconds));
    form.addEventListener("click", (event) => this.#onClick(event));
    this.load = new EntryLoad(form);
  }

  #find(selector) {
    return this.form.querySelector(selector);
  }

  #tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }

  hide() {
    this.form.hidden = true;
    this.#slot = null;
  }

  /* slot: what to log or correct; set: the logged set to correct; after: the set that was just done; start: load and amount to start from. */
  show({ slot, set, after, start, isStopped, hurt }) {
    const isShown = this.#slot?.key === slot.key && this.#slot.line.exercise === slot.line.exercise;
    const same = isShown && this.#set?.uid === set?.uid && !this.form.hidden;
    this.#slot = slot;
    this.#set = set;
    this.#after = set ?? after?.set ?? null;
    this.form.hidden = false;
    if (!same) this.#fill(slot, set, start);
    this.#find("[data-stopped]").hidden = !isStopped;
    this.#find("[data-hurt]").hidden = isStopped || !hurt;
    this.#find("[data-hurt-what]").textContent = hurt ? `${hurt.name}: ${painWords(hurt)}.` : "";
    this.#find(".entry-edit").hidden = !set;
    this.#showAfter(set ? slot.line : after?.line);
    this.#label();
  }

  #fill(slot, set, start) {
    const { line, target } = slot;
    const name = this.#find(".entry-name");
    name.textContent = `${set ? "Correct: " : ""}${line.name}, ${slot.aside ? "warm-up set" : "set"} ${slot.number}`;
    name.className = `entry-name ${line.side === "push" || line.side === "pull" ? `is-${line.side}` : ""}`;
    const asked = target === null ? (slot.aside ? "does not count" : "further set") : `target ${amountWords(target, line.measure)}`;
    this.#find(".entry-target").textContent = `${asked}${line.each_side ? " each side" : ""}`;
    const { amount } = this.form.elements;
    /* As the default too: what differs from it was put in by hand. */
    amount.value = amount.defaultValue = set ? set.amount : (target ?? start.amount);
    amount.setAttribute("aria-label", line.measure === "seconds" ? "Seconds" : "Reps");
    this.load.show(line, set ? { load: set.load, dropped: null } : start);
    this.#setPace(slot, set);
    for (const stepper of this.form.querySelectorAll("number-stepper")) {
      stepper.querySelector("input").dispatchEvent(new Event("input", { bubbles: true }));
    }
  }

  /* A beat for repetitions, a stopwatch for holds; neither for a set that is only corrected. */
  #setPace({ line, target }, set) {
    const [beat, hold] = [this.#find("tempo-beat"), this.#find("hold-stopwatch")];
    const isHold = line.measure === "seconds";
    beat.stop();
    hold.reset();
    hold.hidden = !isHold || Boolean(set);
    hold.setAttribute("target", target ?? 0);
    beat.setAttribute("reps", target ?? this.form.elements.amount.value);
    beat.setAttribute("first", usuallyFirst(line.side, line.name));
    beat.setAttribute("exercise", line.exercise);
    beat.setAttribute("tempo", isHold || set ? "" : line.tempo);
  }

  #setAmount(value) {
    this.form.elements.amount.value = value;
    this.form.elements.amount.dispatchEvent(new Event("input", { bubbles: true }));
  }

  #showAfter(line) {
    const after = this.#after;
    this.#find(".entry-after").hidden = !after || !line;
    if (!after || !line) return;
    const load = loadWords(after.load, line.load_kind);
    const pain = after.pain === null ? "" : ` · ${painWords(after)}`;
    this.#find("[data-note]").textContent = after.note ? "Change note" : "Note";
    const done = `${after.aside ? "Warm-up" : "Set"} ${after.number}: ${amountWords(after.amount, line.measure)}`;
    this.#find(".entry-about").textContent = `${done}${load && ` · ${load}`}${pain} · ${line.name}`;
    /* A hold has no repetitions to leave in reserve. */
    for (const part of this.form.querySelectorAll(".entry-reserve, fieldset")) part.hidden = line.measure === "seconds";
    for (const radio of this.form.querySelectorAll("[name=rir]")) {
      radio.checked = after.rir !== null && Number(radio.value) === Math.min(after.rir, 4);
    }
  }

  #values() {
    const amount = Math.round(Number(this.form.elements.amount.value) || 0);
    return { amount: Math.max(0, Math.min(3600, amount)), load: this.load.value };
  }

  #label() {
    const { amount, load } = this.#values();
    const { line } = this.#slot;
    this.#find(".entry-save").textContent = this.#set
      ? `Save ${amountWords(amount, line.measure)}`
      : saveWords(this.#slot, amount, load);
  }

  #onInput(event) {
    if (!this.#slot) return;
    if (event.target.name !== "rir") this.#label();
    else this.#tell("say", { set: this.#after, changes: { rir: Number(event.target.value) } });
  }

  #onClick(event) {
    if (event.target.closest("[data-take-back]")) this.#tell("say", { set: this.#set, changes: { removed: true } });
    if (event.target.closest("[data-leave]")) this.#tell("leave", {});
    if (event.target.closest("[data-note]")) this.#tell("note", { set: this.#after });
    if (event.target.closest("[data-hurts]")) this.#tell("hurts", { set: this.#after });
  }
}
