/* <rest-timer>: counts the rest from the moment of the last set, so that a locked phone loses nothing. */
import { clockWords } from "./phone_words.js";

const FORGOTTEN_AFTER = 15 * 60;

class RestTimer extends HTMLElement {
  #rest = null;
  #timer = 0;
  #told = false;

  connectedCallback() {
    this.shown = document.createElement("span");
    this.spoken = document.createElement("span");
    this.spoken.className = "visually-hidden";
    this.spoken.setAttribute("role", "status");
    this.shown.setAttribute("role", "timer");
    this.shown.setAttribute("aria-live", "off");
    this.append(this.shown, this.spoken);
    document.addEventListener("visibilitychange", this.#paint);
  }

  disconnectedCallback() {
    clearInterval(this.#timer);
    document.removeEventListener("visibilitychange", this.#paint);
  }

  /* since: milliseconds of the clock; seconds: the rest that was planned. */
  start(rest) {
    if (rest && this.#rest?.since === rest.since) return;
    const isFresh = rest && (Date.now() - rest.since) / 1000 < 5;
    this.#rest = rest;
    this.#told = !rest || this.#left() <= 0;
    clearInterval(this.#timer);
    if (rest) this.#timer = setInterval(this.#paint, 250);
    if (isFresh && rest.seconds) this.spoken.textContent = `Rest ${rest.seconds} seconds`;
    this.#paint();
  }

  stop() {
    this.#rest = null;
    clearInterval(this.#timer);
    this.#paint();
  }

  #left() {
    return this.#rest.seconds - (Date.now() - this.#rest.since) / 1000;
  }

  #paint = () => {
    const left = this.#rest ? this.#left() : -Infinity;
    const runs = this.#rest !== null && this.#rest.seconds > 0 && left > -FORGOTTEN_AFTER;
    this.hidden = !runs;
    if (!runs) return;
    const words = left > 0 ? `rest ${clockWords(Math.ceil(left))}` : `rested +${clockWords(Math.floor(-left))}`;
    if (this.shown.textContent !== words) this.shown.textContent = words;
    this.classList.toggle("is-over", left <= 0);
    if (left > 0 || this.#told) return;
    this.#told = true;
    this.spoken.textContent = "Rest is over";
    /* Only after a touch, and only where the device can; elsewhere the browser would complain. */
    if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.([120, 80, 120]);
  };
}

customElements.define("rest-timer", RestTimer);
