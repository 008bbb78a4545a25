/* The sounds of one page: an audio clock, tones put on it ahead of time, and the switch that silences them. */
import { keep, kept } from "./kept.js";

const KEY = "sounds";
/* Longer than a resting phone needs to go on; then the audio clock sleeps again [ms]. */
const LINGER = 10_000;

const remembered = () => kept(KEY) !== "off";

/* Tones that belong together and fall silent together. */
class Strip {
  #gain;
  #nodes = [];

  constructor(context, out, onTone) {
    this.context = context;
    this.onTone = onTone;
    this.#gain = context.createGain();
    this.#gain.connect(out);
  }

  /* at: seconds of the audio clock; the tone swells for a moment, so that it does not crack. */
  tone(at, { pitch, seconds = 0.09, level = 0.5, shape = "triangle" }) {
    const swell = 0.004;
    const begin = Math.max(at, this.context.currentTime);
    const [node, gain] = [this.context.createOscillator(), this.context.createGain()];
    node.type = shape;
    node.frequency.value = pitch;
    gain.gain.setValueAtTime(0, begin);
    gain.gain.linearRampToValueAtTime(level, begin + swell);
    gain.gain.exponentialRampToValueAtTime(level / 1000, begin + seconds);
    node.connect(gain).connect(this.#gain);
    node.start(begin);
    node.stop(begin + seconds);
    this.#nodes.push(node);
    this.onTone(begin + seconds);
  }

  cancel() {
    this.#gain.disconnect();
    for (const node of this.#nodes) node.stop();
    this.#nodes = [];
  }
}

class Sound extends EventTarget {
  #context = null;
  #out = null;
  #busyUntil = 0;
  #timer = 0;
  #isOn = remembered();

  listen() {
    /* A browser lets a page sound only from a tap on. */
    for (const name of ["click", "keydown"]) {
      document.addEventListener(name, () => this.#isOn && this.wake(), { capture: true, passive: true });
    }
    document.addEventListener("visibilitychange", () => {
      if (!document.hidden && this.#isBusy && !this.runs) this.#context.resume().catch(() => {});
    });
    /* Another column of the same floor was silenced: this one with it. */
    window.addEventListener("storage", (event) => event.key?.endsWith(KEY) && this.#turn(remembered()));
  }

  get isOn() {
    return this.#isOn;
  }

  set isOn(value) {
    keep(KEY, value ? "on" : "off");
    this.#turn(value);
  }

  get runs() {
    return this.#context?.state === "running";
  }

  /* The audio clock [s]; what is heard lags behind it, most of all over the air. */
  get now() {
    return this.#context.currentTime;
  }

  get heard() {
    return this.#context.currentTime - (this.#context.outputLatency || 0);
  }

  /* To be called in a tap. Answers whether the audio clock runs. */
  async wake() {
    if (navigator.userActivation && !navigator.userActivation.isActive) return this.runs;
    if (!this.#context && !this.#make()) return false;
    this.#lingerFrom(performance.now());
    if (!this.runs) {
      const late = new Promise((resolve) => setTimeout(resolve, 800));
      await Promise.race([this.#context.resume().catch(() => {}), late]);
    }
    return this.runs;
  }

  strip() {
    return new Strip(this.#context, this.#out, (end) => {
      this.#busyUntil = Math.max(this.#busyUntil, performance.now() + (end - this.now) * 1000);
    });
  }

  get #isBusy() {
    return performance.now() < this.#busyUntil;
  }

  #make() {
    const Context = window.AudioContext ?? window.webkitAudioContext;
    if (!Context) return false;
    this.#context = new Context({ latencyHint: "interactive" });
    this.#out = this.#context.createGain();
    this.#out.gain.value = this.#isOn ? 1 : 0;
    this.#out.connect(this.#context.destination);
    this.#context.addEventListener("statechange", () => this.dispatchEvent(new Event("changed")));
    return true;
  }

  #lingerFrom(moment) {
    clearTimeout(this.#timer);
    const until = Math.max(moment, this.#busyUntil) + LINGER;
    this.#timer = setTimeout(() => {
      if (this.#isBusy) this.#lingerFrom(performance.now());
      else this.#context.suspend().catch(() => {});
    }, until - performance.now());
  }

  #turn(value) {
    this.#isOn = value;
    if (this.#out) this.#out.gain.value = value ? 1 : 0;
    if (value) this.wake();
    this.dispatchEvent(new Event("changed"));
  }
}

export const sound = new Sound();
sound.listen();
