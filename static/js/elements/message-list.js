/* <message-list>: messages stay until they are put away; only the last few are kept. */
const KEPT = 4;

class MessageList extends HTMLElement {
  connectedCallback() {
    this.addEventListener("click", this.#onClick);
    this.observer = new MutationObserver(() => this.#trim());
    this.observer.observe(this, { childList: true });
  }

  disconnectedCallback() {
    this.removeEventListener("click", this.#onClick);
    this.observer.disconnect();
  }

  #onClick = (event) => {
    if (event.target.closest("[data-dismiss]")) event.target.closest(".message")?.remove();
  };

  #trim() {
    const messages = this.querySelectorAll(".message");
    for (let i = 0; i < messages.length - KEPT; i += 1) messages[i].remove();
  }
}

customElements.define("message-list", MessageList);
