/* The load of a set: steps through what the equipment can make, and says so when it was made easier. */
import { amountWords, isToFind, loadWords, number } from "./phone_words.js";

export class EntryLoad {
  #line = null;
  #input;

  constructor(form) {
    this.form = form;
    this.#input = form.elements.load;
    /* By what the equipment can make, not by one kilogram. */
    this.#find(".entry-load").addEventListener("click", (event) => this.#step(event), { capture: true });
    this.#find("[data-keep-load]").addEventListener("click", (event) => this.#set(event.currentTarget.value));
  }

  #find(selector) {
    return this.form.querySelector(selector);
  }

  /* Nothing for an exercise that takes no load, and no more than a bar holds [kg]. */
  get value() {
    const load = this.#line.takes_load ? Math.max(0, Number(this.#input.value) || 0) : 0;
    return Math.min(1000, Math.round(load * 100) / 100);
  }

  show(line, { load, dropped }) {
    this.#line = line;
    this.#input.value = this.#input.defaultValue = isToFind(load, line) ? "" : number(load);
    this.#find(".entry-load").hidden = !line.takes_load;
    this.#find(".entry-load-words").textContent = { added: "added", assisted: "help" }[line.load_kind] ?? "weight";
    this.#showDrop(line, dropped);
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

  #step(event) {
    const button = event.target.closest(".stepper-less, .stepper-more");
    const { loads } = this.#line;
    if (!button || loads.length < 2) return;
    event.stopPropagation();
    const input = this.#input;
    const now = Number(input.value) || 0;
    const isLess = button.matches(".stepper-less");
    const next = isLess ? loads.findLast((one) => one < now) : loads.find((one) => one > now);
    if (next !== undefined) this.#set(number(next));
  }

  #set(value) {
    const input = this.#input;
    input.value = value;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  }
}
