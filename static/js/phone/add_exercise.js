/* The sheet that adds an exercise which the plan of the day does not hold. */
import { addedLine } from "./line_state.js";

const MOST_SHOWN = 40;

/* Why an answer holds no list; "" when it does. */
export function trouble(status) {
  if (status === 200) return "";
  if (status === 401) return "The list comes once you have signed in again. What you logged is kept on this phone.";
  return "The list did not come. Close this and try again in a moment.";
}

export class AddExercise extends EventTarget {
  #all = null;

  constructor(root, url) {
    super();
    this.dialog = root.querySelector("#add-sheet");
    this.list = this.dialog.querySelector("[data-list]");
    this.url = url;
    root.querySelector("[data-add-exercise]").addEventListener("click", () => this.open());
    this.dialog.querySelector("input").addEventListener("input", () => this.#paint());
    this.list.addEventListener("click", (event) => this.#onClick(event));
  }

  async open() {
    this.dialog.querySelector("input").value = "";
    this.dialog.showModal();
    if (!this.#all) await this.#fetch();
    this.#paint();
  }

  async #fetch() {
    this.#say("Fetching the exercises that fit you…");
    try {
      const answer = await fetch(this.url, { headers: { Accept: "application/json" }, redirect: "error" });
      const said = trouble(answer.status);
      if (said) this.#say(said);
      else this.#all = (await answer.json()).exercises;
    } catch {
      this.#say("The list cannot be fetched without a network. Close this and try again when there is one.");
    }
  }

  #say(words) {
    this.dialog.querySelector("[role=status]").textContent = words;
  }

  /* Those done last come first; typing narrows the list. */
  #paint() {
    if (!this.#all) return;
    const wanted = this.dialog.querySelector("input").value.trim().toLowerCase();
    const found = this.#all.filter((one) => one.name.toLowerCase().includes(wanted));
    found.sort((a, b) => (b.last ?? "").localeCompare(a.last ?? "") || a.name.localeCompare(b.name));
    const shown = found.slice(0, MOST_SHOWN);
    const rest = found.length - shown.length;
    this.#say(found.length ? (rest ? `${rest} more; type a part of the name` : "") : "Nothing of that name fits your equipment and joints.");
    this.list.replaceChildren(...shown.map((one) => this.#item(one)));
  }

  #item(one) {
    const item = this.dialog.querySelector("template").content.firstElementChild.cloneNode(true);
    const button = item.querySelector("button");
    button.value = String(one.exercise);
    button.textContent = one.name;
    return item;
  }

  #onClick(event) {
    const button = event.target.closest("button");
    const chosen = button && this.#all.find((one) => String(one.exercise) === button.value);
    if (!chosen) return;
    this.dialog.close();
    this.dispatchEvent(new CustomEvent("add", { detail: addedLine(chosen) }));
  }
}
