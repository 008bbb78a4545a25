/* <key-commands>: one key clicks or focuses the element that names it in data-key.
   Silent while somebody types, and off when the reader switched it off. */
import { FIELDS, isTyping, keysAreOff } from "./typing.js";

class KeyCommands extends HTMLElement {
  connectedCallback() {
    document.addEventListener("keydown", this.#onKey);
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.#onKey);
  }

  #onKey = (event) => {
    if (keysAreOff() || event.defaultPrevented || event.repeat || isTyping(event)) return;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const named = this.querySelectorAll(`[data-key="${CSS.escape(event.key.toLowerCase())}"]`);
    const target = [...named].find((one) => one.checkVisibility() && !one.disabled);
    if (!target) return;
    event.preventDefault();
    if (target.matches(FIELDS)) target.focus();
    else target.click();
  };
}

/* <key-switch>: one-key commands can disturb speech input, so they can be turned off. */
class KeySwitch extends HTMLElement {
  connectedCallback() {
    const box = this.querySelector("input");
    box.checked = !keysAreOff();
    box.addEventListener("change", () => {
      document.documentElement.classList.toggle("keys-off", !box.checked);
      try {
        localStorage.setItem("keys", box.checked ? "on" : "off");
      } catch {
        /* No storage allowed: the choice holds for this page. */
      }
    });
  }
}

customElements.define("key-commands", KeyCommands);
customElements.define("key-switch", KeySwitch);
