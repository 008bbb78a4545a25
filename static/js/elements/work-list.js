/* <work-list>: a list to walk through. J and K, or the arrows inside the list, open the next
   and the previous line; the line whose panel was asked for is marked as the current one, and stays in sight. */
import { isTyping, keysAreOff } from "./typing.js";

const KEYS = { j: 1, k: -1 };
const ARROWS = { ArrowDown: 1, ArrowUp: -1 };

/* How far the list was scrolled; it is made anew with every act. */
let scrolled = 0;

class WorkList extends HTMLElement {
  connectedCallback() {
    document.addEventListener("keydown", this.#onKey);
    this.addEventListener("htmx:beforeRequest", this.#onRequest);
    this.#column?.addEventListener("scroll", this.#onScroll, { passive: true });
    if (this.#column) this.#column.scrollTop = scrolled;
    this.#reveal();
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.#onKey);
  }

  get #column() {
    return this.closest("[data-scrolls]");
  }

  #onScroll = ({ currentTarget }) => {
    scrolled = currentTarget.scrollTop;
  };

  /* Within its own column only: the page stays where it is. */
  #reveal() {
    const [column, item] = [this.#column, this.querySelector("[aria-current]")];
    if (!column || !item || column.scrollHeight <= column.clientHeight) return;
    const [outer, inner] = [column.getBoundingClientRect(), item.getBoundingClientRect()];
    if (inner.top < outer.top) column.scrollTop -= outer.top - inner.top + inner.height;
    if (inner.bottom > outer.bottom) column.scrollTop += inner.bottom - outer.bottom + inner.height;
  }

  #items() {
    return [...this.querySelectorAll(".worklist-item")].filter((item) => item.checkVisibility());
  }

  #onRequest = (event) => {
    for (const item of this.querySelectorAll("[aria-current]")) item.removeAttribute("aria-current");
    if (event.target.matches(".worklist-item")) event.target.setAttribute("aria-current", "true");
    this.#reveal();
  };

  #onKey = (event) => {
    if (event.defaultPrevented || event.repeat || event.ctrlKey || event.metaKey || event.altKey || isTyping(event)) return;
    const inside = this.contains(event.target);
    const step = (keysAreOff() ? undefined : KEYS[event.key.toLowerCase()]) ?? (inside ? ARROWS[event.key] : undefined);
    if (step === undefined) return;
    const items = this.#items();
    const now = items.findIndex((item) => item.hasAttribute("aria-current"));
    const next = items[now < 0 ? 0 : now + step];
    if (!next) return;
    event.preventDefault();
    next.focus({ preventScroll: true });
    next.click();
  };
}

customElements.define("work-list", WorkList);
