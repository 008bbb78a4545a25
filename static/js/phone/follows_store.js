/* A part of the page that shows how the outbox stands: painted once that is open, and at every change. */
import { opened, store } from "./store.js";

export class FollowsStore extends HTMLElement {
  async connectedCallback() {
    await opened;
    if (!this.isConnected) return;
    store.addEventListener("changed", this);
    this.paint();
  }

  disconnectedCallback() {
    store.removeEventListener("changed", this);
  }

  handleEvent() {
    this.paint();
  }
}
