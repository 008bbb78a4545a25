/* <unsent-guard>: asks before a form inside it signs somebody out while entries are still unsent. */
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
      form.submit();
      return;
    }
    const dialog = this.querySelector("dialog");
    const title = unsent === 1 ? "One entry has not arrived yet" : `${unsent} entries have not arrived yet`;
    dialog.querySelector("[data-title]").textContent = title;
    dialog.showModal();
    store.sender.flush();
  }

  #onClick = (event) => {
    if (event.target.closest("[data-anyway]")) this.querySelector("form[method=post]").submit();
  };
}

customElements.define("unsent-guard", UnsentGuard);
