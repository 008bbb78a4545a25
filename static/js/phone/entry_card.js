/* The card under the thumb: the set that comes, and below it the set that was just done. */
import { amountWords, loadWords, number, saveWords } from "./phone_words.js";
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
    /* The load steps through what the equipment can make, not by one kilogram. */
    form.querySelector(".entry-load").addEventListener("click", (event) => this.#stepLoad(event), { capture: true });
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
  show({ slot, set, after, start, isStopped }) {
    const isShown = this.#slot?.key === slot.key && this.#slot.line.exercise === slot.line.exercise;
    const same = isShown && this.#set?.uid === set?.uid && !this.form.hidden;
    this.#slot = slot;
    this.#set = set;
    this.#after = set ?? after?.set ?? null;
    this.form.hidden = false;
    if (!same) this.#fill(slot, set, start);
    this.#find("[data-stopped]").hidden = !isStopped;
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
    const { amount, load: loadInput } = this.form.elements;
    amount.value = set ? set.amount : (target ?? start.amount);
    amount.setAttribute("aria-label", line.measure === "seconds" ? "Seconds" : "Reps");
    loadInput.value = number(set ? set.load : start.load);
    this.#setPace(slot, set);
    this.#find(".entry-load").hidden = !line.takes_load;
    this.#showDrop(line, set ? null : start.dropped);
    this.#find(".entry-load-words").textContent = { added: "added", assisted: "help" }[line.load_kind] ?? "weight";
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

  /* A supplementary set that fell short: the load is dropped by a step, unless the client keeps it. */
  #showDrop(line, dropped) {
    this.#find(".entry-drop").hidden = !dropped;
    if (!dropped) return;
    const { before, from } = dropped;
    this.#find("[data-drop-words]").textContent =
      `${before.amount} of ${amountWords(before.target, line.measure)} last set: one step easier`;
    const keep = this.#find("[data-keep-load]");
    keep.textContent = `Keep ${loadWords(from, line.load_kind) || "no load"}`;
    keep.value = number(from);
  }

  #showAfter(line) {
    const after = this.#after;
    this.#find(".entry-after").hidden = !after || !line;
    if (!after || !line) return;
    const load = loadWords(after.load, line.load_kind);
    const pain = after.pain === null ? "" : ` · pain ${after.pain}${after.pain_where && `, ${after.pain_where}`}`;
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
    const { amount, load } = this.form.elements;
    const loadNow = this.#slot.line.takes_load ? Math.max(0, Number(load.value) || 0) : 0;
    return {
      amount: Math.max(0, Math.min(3600, Math.round(Number(amount.value) || 0))),
      load: Math.min(1000, Math.round(loadNow * 100) / 100),
    };
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
    const keep = event.target.closest("[data-keep-load]");
    if (keep) this.#setLoad(keep.value);
    if (event.target.closest("[data-hurts]")) this.#tell("hurts", { set: this.#after });
  }

  #stepLoad(event) {
    const button = event.target.closest(".stepper-less, .stepper-more");
    const { loads } = this.#slot.line;
    if (!button || loads.length < 2) return;
    event.stopPropagation();
    const input = this.form.elements.load;
    const now = Number(input.value) || 0;
    const isLess = button.matches(".stepper-less");
    const next = isLess ? loads.findLast((one) => one < now) : loads.find((one) => one > now);
    if (next !== undefined) this.#setLoad(number(next));
  }

  #setLoad(value) {
    const input = this.form.elements.load;
    input.value = value;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  }
}
