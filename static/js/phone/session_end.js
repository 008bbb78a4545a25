/* How a session ends: an effort and a word, or a reason why it was skipped; then the summary against the plan. */
import { askedLoadWords, painWords, setsWords } from "./phone_words.js";
import { slotsOf, summary } from "./plan_state.js";

const dayWords = (moment) =>
  new Date(moment).toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short" });

const against = (done, asked) => (asked ? `${done} of ${asked}` : `${done}`);

function soft(text) {
  const made = document.createElement("span");
  made.className = "soft";
  made.textContent = text;
  return made;
}

export class SessionEnd extends EventTarget {
  #filled = null;

  #lines = [];

  constructor(root) {
    super();
    this.finish = root.querySelector("#finish");
    this.skip = root.querySelector("#skip");
    this.box = root.querySelector("#summary");
    this.finish.querySelector("form").addEventListener("submit", (event) => this.#onFinish(event));
    this.skip.querySelector("form").addEventListener("submit", (event) => this.#onSkip(event));
    this.box.querySelector("[data-change]").addEventListener("click", () => this.change());
    this.box.querySelector("[data-unskip]").addEventListener("click", () => this.#say({ skipped_reason: "" }));
  }

  #say(changes) {
    this.dispatchEvent(new CustomEvent("say", { detail: changes }));
  }

  /* Show the effort form again for a session that is finished. */
  change() {
    this.finish.hidden = false;
    this.finish.open = true;
    this.finish.scrollIntoView({ block: "nearest" });
  }

  paint(lines, about, sets, isAllDone) {
    this.#lines = lines;
    const isOver = Boolean(about?.finished_at || about?.skipped_reason);
    this.skip.hidden = sets.length > 0 || isOver || slotsOf(lines).length === 0;
    this.finish.hidden = isOver || sets.length === 0;
    if (isAllDone && !isOver) this.finish.open = true;
    this.#fill(about);
    const open = this.#openSets(sets);
    this.finish.querySelector("[data-open-sets]").textContent =
      open > 0 && !isAllDone ? `${open} planned ${open === 1 ? "set is" : "sets are"} still open; they stay as not done.` : "";
    this.#paintSummary(about, sets, isOver);
  }

  #openSets(sets) {
    const planned = slotsOf(this.#lines.filter((line) => !line.skipped)).length;
    return planned - sets.filter((one) => !one.aside).length;
  }

  #fill(about) {
    const { rpe, note } = this.finish.querySelector("form").elements;
    if (!about || this.#filled === about.revision) return;
    this.#filled = about.revision;
    if (about.rpe !== null) rpe.value = String(about.rpe);
    note.value = about.note ?? "";
  }

  #paintSummary(about, sets, isOver) {
    this.box.hidden = !isOver;
    if (!isOver) return;
    const find = (name) => this.box.querySelector(`[data-${name}]`);
    const skipped = Boolean(about.skipped_reason);
    const sum = summary(this.#lines, sets);
    find("title").textContent = skipped ? "Skipped" : "Done";
    find("when").textContent = dayWords(skipped ? about.done_at : about.finished_at);
    const effort = about.rpe === null ? "" : ` · effort ${about.rpe} of 10`;
    find("lede").textContent = skipped
      ? `Why: ${about.skipped_reason}`
      : `${against(sum.sets, sum.planned)} sets · ${against(sum.reps, sum.asked)} reps${effort}`;
    find("word").hidden = !about.note;
    find("word").textContent = about.note ? `“${about.note}”` : "";
    find("unskip").hidden = !skipped;
    find("change").hidden = skipped;
    this.box.querySelector("table").hidden = skipped;
    this.box.querySelector("tbody").replaceChildren(...sum.rows.map((row) => this.#row(row)));
  }

  #row({ line, done, isShort }) {
    const row = document.createElement("tr");
    const name = document.createElement("th");
    name.scope = "row";
    const word = document.createElement("span");
    word.className = line.side === "push" || line.side === "pull" ? line.side : "";
    word.textContent = line.name;
    name.append(word);
    const load = askedLoadWords(line.load, line);
    if (load) name.append(soft(load));
    if (line.skipped) name.append(soft(`skipped: ${line.skipped}`));
    if (line.asked_name) name.append(soft(`instead of ${line.asked_name}`));
    const asked = document.createElement("td");
    const targets = line.targets.filter((amount) => amount !== null);
    asked.textContent = targets.length
      ? setsWords(targets.map((amount) => ({ amount, load: 0 })), { ...line, load_kind: "none" })
      : "not planned";
    const got = document.createElement("td");
    const gotWords = document.createElement("span");
    gotWords.className = isShort ? "short" : "";
    /* The load stands with the name; it is told again only where another one was used. */
    const sameLoad = done.every((one) => one.load === line.load);
    asked.className = "number";
    got.className = sameLoad ? "number" : "";
    const worst = done.reduce((most, one) => ((one.pain ?? -1) > (most?.pain ?? -1) ? one : most), null);
    gotWords.textContent = setsWords(done, sameLoad ? { ...line, load_kind: "none" } : line);
    got.append(gotWords);
    if (worst) got.append(soft(painWords(worst)));
    row.append(name, asked, got);
    return row;
  }

  #onFinish(event) {
    event.preventDefault();
    const { rpe, note } = event.target.elements;
    const effort = rpe.value === "" ? null : Number(rpe.value);
    this.#say({ rpe: effort, note: note.value.trim(), finished: true, skipped_reason: "" });
  }

  #onSkip(event) {
    event.preventDefault();
    const { reason, words } = event.target.elements;
    const text = [reason.value, words.value.trim()].filter(Boolean).join(": ").slice(0, 200);
    this.skip.querySelector("[data-error]").hidden = Boolean(text);
    if (text) this.#say({ skipped_reason: text });
  }
}
