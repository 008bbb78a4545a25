/* The sets of all pairs facing each other: paints what was done and what comes, adds rows for further sets. */
import { byPlace, keyOf } from "./plan_state.js";
import { amountWords, loadWords } from "./phone_words.js";

export class SetGrid {
  constructor(root, lines) {
    this.root = root;
    this.lines = new Map(lines.map((line) => [line.uid, line]));
    for (const more of root.querySelectorAll("[data-more]")) more.hidden = false;
  }

  paint(sets, current, painful) {
    const places = byPlace(sets);
    for (const key of places.keys()) this.#cell(key);
    if (current) this.#cell(current.key);
    for (const button of this.root.querySelectorAll("ol [data-slot]")) {
      this.#paintCell(button, places.get(button.dataset.slot), current?.key === button.dataset.slot, painful);
    }
    for (const pair of this.root.querySelectorAll("[data-pair]")) this.#paintProgress(pair, places);
  }

  open(letter) {
    for (const pair of this.root.querySelectorAll("[data-pair]")) pair.open = pair.dataset.pair === letter;
  }

  pairOf(line) {
    return this.root.querySelector(`[data-pair="${CSS.escape(line.pair)}"]`);
  }

  /* Keep the row of a set in sight: between the head of the page and the card that covers its foot. */
  reveal(key, card) {
    const cell = this.#cell(key);
    if (!cell) return;
    const hidden = cell.getBoundingClientRect().bottom + 12 - card.getBoundingClientRect().top;
    const head = document.querySelector(".phone-head").getBoundingClientRect().bottom;
    const above = cell.getBoundingClientRect().top - 12 - head;
    if (hidden > 0) window.scrollBy(0, hidden);
    else if (above < 0) window.scrollBy(0, above);
  }

  #cell(key) {
    const found = this.root.querySelector(`ol [data-slot="${CSS.escape(key)}"]`);
    return found ?? this.#addCell(key);
  }

  #addCell(key) {
    const [uid, number] = key.split(":");
    const line = this.lines.get(uid);
    if (!line) return null;
    const pair = this.pairOf(line);
    const blank = pair.querySelector("template").content.firstElementChild;
    let row = pair.querySelector(`.pair-row[data-number="${number}"]`);
    if (!row) {
      row = blank.cloneNode(true);
      row.dataset.number = number;
      row.querySelector(".pair-number").textContent = number;
      for (const button of row.querySelectorAll("[data-slot]")) button.remove();
      pair.querySelector(".pair-sets").append(row);
    }
    const cell = blank.querySelector(`[data-slot="${CSS.escape(`${uid}:`)}"]`).cloneNode(true);
    cell.dataset.slot = key;
    cell.dataset.words = `${line.name}, set ${number}`;
    row.append(cell);
    return cell;
  }

  #paintCell(button, set, isNow, painful) {
    const [uid, number] = button.dataset.slot.split(":");
    const line = this.lines.get(uid);
    const target = line.targets[number - 1] ?? null;
    const isLeft = !set && painful.has(uid);
    button.classList.toggle("is-done", Boolean(set));
    button.classList.toggle("is-now", isNow);
    button.classList.toggle("is-left-out", isLeft);
    button.classList.toggle("has-pain", Boolean(set?.pain));
    button.setAttribute("aria-current", isNow ? "step" : "false");
    const count = button.querySelector(".set-count");
    count.textContent = set ? set.amount : (target ?? "+");
    count.classList.toggle("short", Boolean(set) && target !== null && set.amount < target);
    button.querySelector("[data-state]").textContent = this.#words(button, line, set, target, isLeft);
  }

  #words(button, line, set, target, isLeft) {
    if (!set) {
      const asked = target === null ? "further set" : `to do, ${amountWords(target, line.measure)}`;
      return `${button.dataset.words}, ${isLeft ? "left out because of pain" : asked}`;
    }
    const load = loadWords(set.load, line.load_kind);
    const pain = set.pain ? `, pain ${set.pain}` : "";
    return `${button.dataset.words}, done: ${amountWords(set.amount, line.measure)}${load && ` ${load}`}${pain}. Correct it`;
  }

  #paintProgress(pair, places) {
    const lines = [...this.lines.values()].filter((line) => line.pair === pair.dataset.pair);
    const keys = lines.flatMap((line) => line.targets.map((_, i) => keyOf(line.uid, i + 1)));
    const done = keys.filter((key) => places.has(key)).length;
    pair.querySelector("[data-progress]").textContent = `${done} of ${keys.length} sets`;
    pair.classList.toggle("is-done", done === keys.length);
  }
}
