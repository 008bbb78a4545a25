/* <session-clock>: minutes since the first set, beside the minutes that were planned. */
class SessionClock extends HTMLElement {
  #began = null;
  #ended = null;
  #planned = 0;

  connectedCallback() {
    this.timer = setInterval(() => this.#paint(), 15000);
  }

  disconnectedCallback() {
    clearInterval(this.timer);
  }

  run(began, ended, planned) {
    [this.#began, this.#ended, this.#planned] = [began, ended, planned];
    this.#paint();
  }

  #paint() {
    const passed = this.#began === null ? null : Math.floor(((this.#ended ?? Date.now()) - this.#began) / 60000);
    /* A session that was left open overnight has no sensible clock. */
    const shows = passed !== null && passed >= 0 && passed < 300;
    const planned = this.#planned ? `${this.#planned} min` : "";
    if (shows) this.textContent = planned ? `${passed} of ${planned}` : `${passed} min`;
    else this.textContent = planned;
  }
}

customElements.define("session-clock", SessionClock);
