/* <key-commands>: one key clicks or focuses the element that names it in data-key.
   Silent while somebody types, and off when the reader switched it off. */
const root = document.documentElement;
const TYPES = "input:not([type=checkbox], [type=radio]), textarea, select, [contenteditable]";

class KeyCommands extends HTMLElement {
  connectedCallback() {
    document.addEventListener("keydown", this.#onKey);
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.#onKey);
  }

  #onKey = (event) => {
    if (root.classList.contains("keys-off") || event.defaultPrevented || event.repeat) return;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target.closest?.(TYPES) || document.querySelector("dialog[open]")) return;
    const target = this.querySelector(`[data-key="${CSS.escape(event.key.toLowerCase())}"]`);
    if (!target || target.disabled) return;
    event.preventDefault();
    if (target.matches(TYPES)) target.focus();
    else target.click();
  };
}

/* <key-switch>: one-key commands can disturb speech input, so they can be turned off. */
class KeySwitch extends HTMLElement {
  connectedCallback() {
    const box = this.querySelector("input");
    box.checked = !root.classList.contains("keys-off");
    box.addEventListener("change", () => {
      root.classList.toggle("keys-off", !box.checked);
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
