/* <unsent-guard>: asks before a form inside it signs somebody out while entries are still unsent. */
import { forgetPages } from "./kept_pages.js";
import { opened, store } from "./store.js";

class UnsentGuard extends HTMLElement {
  connectedCallback() {
    this.addEventListener("submit", this.#onSubmit, { capture: true });
    this.addEventListener("click", this.#onClick);
  }

  disconnectedCallback() {
    this.removeEventListener("submit", this.#onSubmit, { capture: true });
    this.removeEventListener("click", this.#onClick);
  }

  #onSubmit = (event) => {
    if (event.target.method !== "post") return;
    event.preventDefault();
    event.stopPropagation();
    this.#ask(event.target);
  };

  async #ask(form) {
    await opened;
    await store.refresh();
    const unsent = store.entries.length;
    if (!unsent) {
      await this.#leave(form);
      return;
    }
    const dialog = this.querySelector("dialog");
    const title = unsent === 1 ? "One entry has not arrived yet" : `${unsent} entries have not arrived yet`;
    dialog.querySelector("[data-title]").textContent = title;
    dialog.showModal();
    store.sender.flush();
  }

  #onClick = (event) => {
    if (event.target.closest("[data-anyway]")) this.#leave(this.querySelector("form[method=post]"));
  };

  /* What the phone keeps of the plan and the log goes; what is unsent stays until its owner is back. */
  async #leave(form) {
    await forgetPages().catch(() => {});
    await store.outbox.forgetKept(Infinity).catch(() => {});
    form.submit();
  }
}

customElements.define("unsent-guard", UnsentGuard);
