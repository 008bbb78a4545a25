/* The sheet of one exercise: swap it, skip it, put it back as planned, or add a set that only warms up. */
import { askedLoadWords } from "./phone_words.js";

export class LineSheet extends EventTarget {
  #line = null;

  constructor(dialog) {
    super();
    this.dialog = dialog;
    this.form = dialog.querySelector("form");
    this.form.addEventListener("submit", (event) => this.#onSubmit(event));
  }

  #find(name) {
    return this.dialog.querySelector(`[data-${name}]`);
  }

  open(line) {
    this.#line = line;
    this.form.reset();
    this.#find("error").hidden = true;
    this.#find("title").textContent = line.name;
    this.#find("said").hidden = !line.change;
    this.#find("said").textContent = line.change ? this.#saidWords(line) : "";
    this.#find("back").hidden = !line.change;
    this.#find("back").textContent = line.skipped ? "Do it after all" : `Back to ${line.asked_name}`;
    this.#find("warm-up").hidden = line.warm_up;
    const isPlanned = line.uid !== `x${line.exercise}`;
    for (const part of this.dialog.querySelectorAll("[data-planned]")) part.hidden = !isPlanned;
    this.#fillSwaps(line);
    this.dialog.showModal();
  }

  #saidWords(line) {
    return line.skipped ? `Skipped: ${line.skipped}` : `Instead of ${line.asked_name}: ${line.change.reason}`;
  }

  #fillSwaps(line) {
    const swaps = line.swaps.filter((one) => one.exercise !== line.exercise);
    const blank = this.#find("swap-blank").content.firstElementChild;
    const items = swaps.map((one) => {
      const item = blank.cloneNode(true);
      item.querySelector("input").value = one.exercise;
      item.querySelector("strong").textContent = one.name;
      item.querySelector("small").textContent = [askedLoadWords(one.load, one), one.why].filter(Boolean).join(" · ");
      return item;
    });
    this.#find("swaps").replaceChildren(...items);
    this.#find("no-swaps").hidden = items.length > 0;
    this.#find("swap").hidden = items.length === 0;
  }

  #onSubmit(event) {
    const choice = event.submitter?.value;
    if (choice === "warm-up") this.#tell("warm-up", { line: this.#line });
    if (choice === "back") this.#tell("change", { line: this.#line, changes: { removed: true } });
    if (choice !== "swap" && choice !== "skip") return;
    const { reason, words } = this.form.elements;
    const chosen = choice === "swap" ? Number(new FormData(this.form).get("swap")) || null : null;
    const why = [reason.value, words.value.trim()].filter(Boolean).join(": ").slice(0, 200);
    const missing = choice === "swap" && !chosen ? "Choose what you do instead." : "";
    const error = missing || (why ? "" : "Choose a reason or write one; your coach plans with it.");
    this.#find("error").textContent = error;
    this.#find("error").hidden = !error;
    if (error) {
      event.preventDefault();
      return;
    }
    this.#tell("change", { line: this.#line, changes: { change: choice, exercise: chosen, reason: why, removed: false } });
  }

  #tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}
