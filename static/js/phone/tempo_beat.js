/* <tempo-beat tempo="3-1-X-0" reps="6" first="lower" exercise="12">: beats the counts of a set, to hear and to see. */
import { keep, kept } from "./kept.js";
import { part } from "./parts.js";
import { sound } from "./sound.js";
import { hasVoice, say } from "./spoken.js";
import { beatAt, beatsOf, parseTempo, phasesOf, voiceOf, wordsOf } from "./tempo_plan.js";
import { stayAwake } from "./wake.js";

/* Beats are put on the audio clock so far ahead that no busy page can delay them [s]. */
const AHEAD = 12;
const LEAD = 0.15;

class TempoBeat extends HTMLElement {
  static observedAttributes = ["tempo", "first", "exercise"];
  #run = null;
  #speaks = kept("voice") === "on" && hasVoice;
  #chosen = new Map();

  connectedCallback() {
    if (!this.main) this.#build();
    this.#paint();
  }

  disconnectedCallback() {
    this.stop();
  }

  attributeChangedCallback() {
    this.stop();
    if (this.main) this.#paint();
  }

  get tempo() {
    return parseTempo(this.getAttribute("tempo"));
  }

  /* As chosen for this exercise, else as the plan says. */
  get first() {
    const exercise = this.getAttribute("exercise");
    const chosen = this.#chosen.get(exercise) ?? (exercise && kept(`first-${exercise}`));
    return chosen || this.getAttribute("first") || "lower";
  }

  /* The beats put on the clock so far: their second of the audio clock, beside what they are. */
  get scheduled() {
    return this.#run ? this.#run.beats.slice(0, this.#run.next).map((beat) => ({ ...beat, time: this.#run.began + beat.at })) : [];
  }

  #build() {
    this.main = part("button", "tempo-main", { type: "button", "aria-pressed": "false" });
    this.word = part("span", "tempo-word");
    this.count = part("span", "tempo-count number", { "aria-hidden": "true" });
    this.about = part("span", "tempo-about number", { "aria-hidden": "true" });
    this.main.append(this.word, this.count, this.about);
    this.turn = part("button", "tempo-choice", { type: "button" });
    this.voice = part("button", "tempo-choice", { type: "button" }, "Voice");
    this.voice.hidden = !hasVoice;
    this.setAttribute("aria-live", "off");
    this.append(this.main, this.turn, this.voice);
    this.main.addEventListener("click", () => (this.#run ? this.stop() : this.start()));
    this.turn.addEventListener("click", () => this.#turnRound());
    this.voice.addEventListener("click", () => {
      this.#speaks = !this.#speaks;
      keep("voice", this.#speaks ? "on" : "off");
      this.#paint();
    });
  }

  #turnRound() {
    const [exercise, first] = [this.getAttribute("exercise"), this.first === "lift" ? "lower" : "lift"];
    this.#chosen.set(exercise, first);
    if (exercise) keep(`first-${exercise}`, first);
    /* From the count-in again, the other way round. */
    this.stop();
    this.start();
  }

  async start() {
    if (this.#run || !this.tempo) return;
    const beats = beatsOf(phasesOf(this.tempo, this.first), Number(this.getAttribute("reps")) || Infinity);
    const run = { beats, next: 0, shown: null, strip: null };
    this.#run = run;
    /* Without an audio clock it still beats to the eye. */
    const sounds = await sound.wake();
    if (this.#run !== run) return;
    if (sounds) run.strip = sound.strip();
    run.clock = sounds ? () => sound.now : () => performance.now() / 1000;
    run.seen = sounds ? () => sound.heard : run.clock;
    run.began = run.clock() + LEAD;
    run.timer = setInterval(() => this.#step(), 40);
    stayAwake("tempo", true);
    this.#step();
  }

  stop() {
    const run = this.#run;
    this.#run = null;
    if (!run) return;
    clearInterval(run.timer);
    run.strip?.cancel();
    if (this.#speaks) say("");
    stayAwake("tempo", false);
    this.#paint();
  }

  #step() {
    const run = this.#run;
    const now = run.clock() - run.began;
    for (let beat; (beat = run.beats[run.next]) && beat.at <= now + AHEAD; run.next += 1) {
      /* One that is past is left out rather than sounded late. */
      if (beat.at >= now - LEAD / 10) run.strip?.tone(run.began + beat.at, voiceOf(beat));
    }
    const beat = beatAt(run.beats, run.seen() - run.began);
    if (beat === run.shown) return;
    run.shown = beat;
    if (this.#speaks && beat.isFirst && beat.rep) say(wordsOf(beat), sound.isOn ? 1 : 0);
    this.#paint();
    if (beat.phase === "end") setTimeout(() => this.#run === run && this.stop(), 400);
  }

  #paint() {
    const [run, text] = [this.#run, this.getAttribute("tempo")];
    const beat = run?.shown;
    const isLift = this.first === "lift";
    this.hidden = !this.tempo || !phasesOf(this.tempo).length;
    this.classList.toggle("is-running", Boolean(run));
    this.main.setAttribute("aria-pressed", String(Boolean(run)));
    this.main.setAttribute("aria-label", `Tempo ${text}, beat`);
    this.main.dataset.phase = beat?.phase ?? "";
    this.main.toggleAttribute("data-accent", Boolean(beat?.isFirst));
    this.word.textContent = run ? wordsOf(beat ?? { phase: "ready" }) : `Tempo\n${text}`;
    this.count.textContent = beat?.count || "";
    this.about.textContent = run && beat?.rep ? this.#repWords(beat) : "";
    this.turn.textContent = isLift ? "lift first" : "lower first";
    this.turn.setAttribute("aria-label", `${this.turn.textContent}: begin with ${isLift ? "lowering" : "lifting"} instead`);
    this.voice.setAttribute("aria-pressed", String(this.#speaks));
  }

  #repWords({ rep, phase }) {
    if (phase === "end") return "done";
    const reps = Number(this.getAttribute("reps"));
    return reps ? `rep ${rep} of ${reps}` : `rep ${rep}`;
  }
}

customElements.define("tempo-beat", TempoBeat);
