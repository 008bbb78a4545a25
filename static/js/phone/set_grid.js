/* The sets of all pairs facing each other: paints what was done and what comes, adds rows for further sets. */
import { byPlace, keyOf } from "./plan_state.js";
import { amountWords, loadWords } from "./phone_words.js";

export class SetGrid {
  constructor(root) {
    this.root = root;
    this.lines = new Map();
  }

  paint(lines, sets, current, painful) {
    this.lines = new Map(lines.map((line) => [line.uid, line]));
    for (const line of lines) this.#paintHead(line);
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
    return this.root.querySelector(`[data-pair="${CSS.escape(line.pair)}"]`) ?? this.#addPair(line);
  }

  #addPair(line) {
    const item = this.root.querySelector("#added-line").content.firstElementChild.cloneNode(true);
    const pair = item.querySelector("[data-pair]");
    pair.dataset.pair = line.pair;
    pair.querySelector("[data-line]").dataset.line = line.uid;
    for (const button of pair.querySelectorAll("[data-more], [data-change]")) {
      button.dataset[button.hasAttribute("data-more") ? "more" : "change"] = line.uid;
    }
    pair.querySelector("template").content.querySelector("[data-slot]").dataset.slot = `${line.uid}:`;
    this.root.querySelector(".today-pairs").append(item);
    return pair;
  }

  /* The name over the column, and what was changed of it today. */
  #paintHead(line) {
    const pair = this.pairOf(line);
    const head = pair.querySelector(`[data-line="${CSS.escape(line.uid)}"]`);
    head.querySelector(".pair-name").textContent = line.name;
    const told = head.querySelector("[data-changed]");
    told.hidden = !line.change;
    if (line.change) {
      told.textContent = line.skipped ? `skipped: ${line.skipped}` : `instead of ${line.asked_name}: ${line.change.reason}`;
    }
    for (const button of pair.querySelectorAll(`[data-more="${CSS.escape(line.uid)}"]`)) {
      button.hidden = Boolean(line.skipped);
      button.querySelector("[data-name]").textContent = ` of ${line.name}`;
    }
    for (const button of pair.querySelectorAll(`[data-change="${CSS.escape(line.uid)}"]`)) {
      button.hidden = false;
      button.querySelector("[data-name]").textContent = ` ${line.name}`;
    }
  }

  /* Keep the row of a set in sight: between the head of the page and the card that covers its foot. */
  reveal(key, card) {
    const cell = this.#cell(key);
    /* A new word of the coach is seen first; it goes out of sight with the next set. */
    if (!cell || (!window.scrollY && document.querySelector("coach-words[data-unseen]"))) return;
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
      const isAside = number.startsWith("w");
      row.querySelector(".pair-number").textContent = isAside ? "warm" : number;
      row.classList.toggle("is-aside", isAside);
      for (const button of row.querySelectorAll("[data-slot]")) button.remove();
      this.#place(pair.querySelector(".pair-sets"), row, isAside);
    }
    const cell = blank.querySelector(`[data-slot="${CSS.escape(`${uid}:`)}"]`).cloneNode(true);
    cell.dataset.slot = key;
    row.append(cell);
    return cell;
  }

  /* Warm-up sets stand above the sets that count. */
  #place(list, row, isAside) {
    const firstWorking = list.querySelector(".pair-row:not(.is-aside)");
    if (isAside && firstWorking) firstWorking.before(row);
    else list.append(row);
  }

  #paintCell(button, set, isNow, painful) {
    const [uid, number] = button.dataset.slot.split(":");
    const line = this.lines.get(uid);
    const target = line.targets[number - 1] ?? null;
    const isLeft = !set && (painful.has(uid) || Boolean(line.skipped));
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
    const number = button.dataset.slot.split(":")[1];
    const place = `${line.name}, ${number.startsWith("w") ? `warm-up set ${number.slice(1)}` : `set ${number}`}`;
    if (!set) {
      const asked = target === null ? "further set" : `to do, ${amountWords(target, line.measure)}`;
      const why = line.skipped ? "skipped" : "left out because of pain";
      return `${place}, ${isLeft ? why : asked}`;
    }
    const load = loadWords(set.load, line.load_kind);
    const pain = set.pain ? `, pain ${set.pain}` : "";
    return `${place}, done: ${amountWords(set.amount, line.measure)}${load && ` ${load}`}${pain}. Correct it`;
  }

  #paintProgress(pair, places) {
    const lines = [...this.lines.values()].filter((line) => line.pair === pair.dataset.pair);
    const keys = lines.flatMap((line) => line.targets.map((_, i) => keyOf(line.uid, i + 1)));
    const done = keys.filter((key) => places.has(key)).length;
    pair.querySelector("[data-progress]").textContent = `${done} of ${keys.length} sets`;
    pair.classList.toggle("is-done", done === keys.length);
  }
}
