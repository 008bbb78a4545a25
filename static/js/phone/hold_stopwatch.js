/* <hold-stopwatch target="30">: counts a hold after getting ready; the tap that stops it tells "held" {seconds}. */
import { holdAt, holdTones } from "./hold_time.js";
import { part } from "./parts.js";
import { amountWords, clockWords } from "./phone_words.js";
import { sound } from "./sound.js";
import { SteadyClock } from "./steady_clock.js";
import { stayAwake } from "./wake.js";

class HoldStopwatch extends HTMLElement {
  static observedAttributes = ["target"];
  #run = null;
  #wasAway = false;

  connectedCallback() {
    if (!this.main) this.#build();
    document.addEventListener("visibilitychange", this.#onSight);
    sound.addEventListener("changed", this.#tune);
    this.#paint();
  }

  disconnectedCallback() {
    this.reset();
    document.removeEventListener("visibilitychange", this.#onSight);
    sound.removeEventListener("changed", this.#tune);
  }

  attributeChangedCallback() {
    if (this.main) this.#paint();
  }

  get target() {
    return Math.max(0, Number(this.getAttribute("target")) || 0);
  }

  #build() {
    this.main = part("button", "hold-main", { type: "button", "aria-pressed": "false" });
    this.word = part("span", "hold-word");
    this.count = part("span", "hold-count number", { "aria-hidden": "true" });
    this.spoken = part("span", "visually-hidden", { role: "status" });
    this.main.append(this.word, this.count);
    this.append(this.main, this.spoken);
    this.main.addEventListener("click", () => (this.#run ? this.#stop() : this.start()));
  }

  start() {
    const clock = new SteadyClock();
    this.#run = { clock, began: clock.now, strip: null, isTold: false };
    this.#wasAway = document.hidden;
    this.#run.timer = setInterval(this.#paint, 100);
    stayAwake("hold", true);
    sound.wake().then(this.#tune);
    this.#paint();
  }

  /* Forget a hold that runs; nothing is told. */
  reset() {
    const run = this.#run;
    this.#run = null;
    if (!run) return;
    clearInterval(run.timer);
    run.strip?.cancel();
    stayAwake("hold", false);
    this.spoken.textContent = "";
    this.#paint();
  }

  #stop() {
    const { isReady, held } = holdAt(this.#passed(), this.target);
    this.reset();
    if (!isReady) return;
    this.spoken.textContent = `Held ${amountWords(held, "seconds")}`;
    this.dispatchEvent(new CustomEvent("held", { detail: { seconds: held }, bubbles: true }));
  }

  #passed() {
    const now = this.#run.clock.read(this.#wasAway);
    this.#wasAway = document.hidden;
    return (now - this.#run.began) / 1000;
  }

  #onSight = () => {
    this.#wasAway ||= document.hidden;
    this.#tune();
    this.#paint();
  };

  /* What is still to sound lies on the audio clock ahead of time, put there anew whenever that clock went on. */
  #tune = () => {
    const run = this.#run;
    if (!run || document.hidden) return;
    const began = sound.runs ? sound.now - this.#passed() : -Infinity;
    /* Already there; put again, a tone that sounds just now would stutter. */
    if (run.strip && Math.abs(began - run.strip.began) < 0.05) return;
    run.strip?.cancel();
    run.strip = null;
    if (!sound.runs) return;
    run.strip = Object.assign(sound.strip(), { began });
    for (const tone of holdTones(this.target)) {
      if (began + tone.at > sound.now - 0.3) run.strip.tone(began + tone.at, tone);
    }
  };

  #paint = () => {
    const run = this.#run;
    const state = run && holdAt(this.#passed(), this.target);
    this.classList.toggle("is-running", Boolean(run));
    this.classList.toggle("is-reached", Boolean(state?.isReached));
    this.main.setAttribute("aria-pressed", String(Boolean(run)));
    const asked = this.target ? `of ${amountWords(this.target, "seconds")}, ` : "";
    if (!run) this.word.textContent = this.target ? `Time the hold, ${amountWords(this.target, "seconds")}` : "Time the hold";
    else this.word.textContent = state.isReady ? `${asked}tap to stop` : "get ready";
    this.count.textContent = state ? (state.isReady ? clockWords(state.held) : String(state.left)) : "";
    if (!state?.isReached || run.isTold) return;
    run.isTold = true;
    this.spoken.textContent = "Target reached";
    if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(150);
  };
}

customElements.define("hold-stopwatch", HoldStopwatch);
