/* <rest-timer>: counts the rest from the moment of the last set, so that a locked phone loses nothing. A tap on it
   opens what can be done about the rest. */
import { part } from "./parts.js";
import { clockWords } from "./phone_words.js";
import { RestPanel } from "./rest_panel.js";
import { changesOf, keepChanges } from "./rest_changes.js";
import { sound } from "./sound.js";
import { SteadyClock, leftOf, lengthened } from "./steady_clock.js";
import { stayAwake } from "./wake.js";

const FORGOTTEN_AFTER = 15 * 60;
/* A rest that ended while the phone slept is still told for so long [s]. */
const STILL_NEWS = 3;
const MORE = 30;
const CHIME = [
  { at: 0, pitch: 659.26, seconds: 0.22, level: 0.7 },
  { at: 0.24, pitch: 987.77, seconds: 0.4, level: 0.7 },
];

class RestTimer extends HTMLElement {
  #rest = null;
  #clock = null;
  #began = 0;
  #wasAway = false;
  #timer = 0;
  #told = false;
  #strip = null;
  #dueAt = 0;

  connectedCallback() {
    if (!this.main) this.#build();
    document.addEventListener("visibilitychange", this.#onSight);
    this.panel.listen(true);
    sound.addEventListener("changed", this.#tune);
  }

  disconnectedCallback() {
    this.stop();
    document.removeEventListener("visibilitychange", this.#onSight);
    this.panel.listen(false);
    sound.removeEventListener("changed", this.#tune);
  }

  #build() {
    this.main = part("button", "rest-main", { type: "button", "aria-expanded": "false" });
    this.shown = part("span", "", { role: "timer", "aria-live": "off" });
    this.spoken = part("span", "visually-hidden", { role: "status" });
    this.panel = new RestPanel(this.main, MORE);
    this.panel.addEventListener("more", () => this.#change({ extra: lengthened(this.#left(), this.#rest.extra, MORE) }));
    this.panel.addEventListener("end", () => this.#change({ skipped: true }));
    this.main.append(this.shown);
    this.append(this.main, this.panel.box, this.spoken);
  }

  /* since: milliseconds of the time of day; seconds: the rest that was planned. */
  start(rest) {
    if (rest && this.#rest?.since === rest.since && this.#rest.seconds === rest.seconds) return;
    this.stop();
    if (!rest) return;
    this.#rest = { ...rest, ...changesOf(rest.since) };
    this.#clock = new SteadyClock();
    this.#began = this.#clock.now;
    this.#wasAway = document.hidden;
    this.#timer = setInterval(this.#paint, 250);
    const left = this.#left();
    this.#told = left <= 0;
    if (rest.seconds && rest.seconds - left < 5) this.spoken.textContent = `Rest ${rest.seconds} seconds`;
    this.#tune();
    this.#paint();
  }

  stop() {
    this.#rest = null;
    clearInterval(this.#timer);
    this.#tune();
    this.#paint();
  }

  #left() {
    const now = this.#clock.read(this.#wasAway);
    this.#wasAway = document.hidden;
    return leftOf(this.#rest, this.#began, now);
  }

  #change(changes) {
    Object.assign(this.#rest, changes);
    const { since, extra, skipped } = this.#rest;
    keepChanges(since, { extra, skipped });
    this.#told = skipped;
    this.panel.open(false);
    this.#tune();
    this.#paint();
  }

  #onSight = () => {
    this.#wasAway ||= document.hidden;
    if (!document.hidden) this.#tune();
    this.#paint();
  };

  /* The chime lies on the audio clock as soon as the rest begins: it sounds even when this page is not asked. */
  #tune = () => {
    const isDue = this.#rest?.seconds > 0 && !this.#rest.skipped;
    const left = isDue ? this.#left() : -Infinity;
    const hasSounded = this.#strip && sound.now >= this.#dueAt;
    if (isDue && left <= 0 && hasSounded) return;
    if (isDue && this.#strip && sound.runs && Math.abs(sound.now + left - this.#dueAt) < 0.05) return;
    this.#strip?.cancel();
    this.#strip = null;
    if (left < -STILL_NEWS || !sound.runs) return;
    this.#strip = sound.strip();
    this.#dueAt = sound.now + Math.max(0, left);
    for (const tone of CHIME) this.#strip.tone(this.#dueAt + tone.at, tone);
  };

  #paint = () => {
    const left = this.#rest ? this.#left() : -Infinity;
    stayAwake("session", left > -FORGOTTEN_AFTER);
    const runs = left > -FORGOTTEN_AFTER && this.#rest.seconds > 0 && !this.#rest.skipped;
    this.hidden = !runs;
    if (!runs) {
      this.panel.open(false);
      return;
    }
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
