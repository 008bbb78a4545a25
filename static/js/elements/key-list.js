/* <key-list>: a button, and the key "?", that show every one-key command of the page as it stands now. */
import { isTyping, keysAreOff } from "./typing.js";

const NAMES = { " ": "Space" };

function row(keys, words) {
  const [line, term, about] = ["tr", "th", "td"].map((tag) => document.createElement(tag));
  term.scope = "row";
  for (const key of keys) {
    const shown = document.createElement("kbd");
    shown.textContent = NAMES[key] ?? key.toUpperCase();
    term.append(shown, " ");
  }
  about.textContent = words;
  line.append(term, about);
  return line;
}

const wordsOf = (element) =>
  element.dataset.keySays ?? element.getAttribute("aria-label") ?? element.textContent.trim().replace(/\s+/g, " ");

/* One line for each key: what it would do now. */
function commands() {
  const found = new Map();
  for (const element of document.querySelectorAll("key-commands [data-key]")) {
    const isThere = (element.checkVisibility() || element.closest("[data-lists-keys]")) && !element.disabled;
    if (isThere && !found.has(element.dataset.key)) found.set(element.dataset.key, wordsOf(element));
  }
  return found;
}

class KeyList extends HTMLElement {
  connectedCallback() {
    this.querySelector("button").addEventListener("click", () => this.#show());
    document.addEventListener("keydown", this.#onKey);
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.#onKey);
  }

  #onKey = (event) => {
    if (event.key !== "?" || event.ctrlKey || event.metaKey || keysAreOff() || isTyping(event)) return;
    if (!document.querySelector("key-commands")) return;
    event.preventDefault();
    this.#show();
  };

  #show() {
    const dialog = this.querySelector("dialog");
    const body = dialog.querySelector("tbody");
    const walks = [...document.querySelectorAll("[data-walk-keys]")];
    body.replaceChildren(
      ...walks.map((one) => row(one.dataset.walkKeys.split(" "), one.dataset.walkSays)),
      ...[...commands()].map(([key, words]) => row([key], words)),
      row(["?"], "this list"),
    );
    dialog.showModal();
  }
}

customElements.define("key-list", KeyList);
