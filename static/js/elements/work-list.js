/* <work-list>: a list to walk through. J and K, or the arrows inside the list, open the next
   and the previous line; the line whose panel was asked for is marked as the current one. */
const root = document.documentElement;
const TYPES = "input:not([type=checkbox], [type=radio]), textarea, select, [contenteditable]";
const KEYS = { j: 1, k: -1 };
const ARROWS = { ArrowDown: 1, ArrowUp: -1 };

class WorkList extends HTMLElement {
  connectedCallback() {
    document.addEventListener("keydown", this.#onKey);
    this.addEventListener("htmx:beforeRequest", this.#onRequest);
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.#onKey);
  }

  #items() {
    return [...this.querySelectorAll(".worklist-item")].filter((item) => item.checkVisibility());
  }

  #onRequest = (event) => {
    for (const item of this.querySelectorAll("[aria-current]")) item.removeAttribute("aria-current");
    if (event.target.matches(".worklist-item")) event.target.setAttribute("aria-current", "true");
  };

  #onKey = (event) => {
    if (event.defaultPrevented || event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target.closest?.(TYPES) || document.querySelector("dialog[open]")) return;
    const keys = root.classList.contains("keys-off") ? {} : KEYS;
    const inside = this.contains(event.target);
    const step = keys[event.key.toLowerCase()] ?? (inside ? ARROWS[event.key] : undefined);
    if (step === undefined) return;
    const items = this.#items();
    const now = items.findIndex((item) => item.hasAttribute("aria-current"));
    const next = items[now < 0 ? 0 : now + step];
    if (!next) return;
    event.preventDefault();
    next.focus();
    next.click();
  };
}

customElements.define("work-list", WorkList);
