/* A tempo as beats: lower, pause, lift, hold, one beat a second. Pure. */
export const COUNT_IN = 3;
const MOST_REPS = 100;

/* "3-1-X-0" or "31X0": lowering, pause below, lifting, hold above [s]. X: as fast as possible, one second. */
export function parseTempo(text) {
  const written = String(text ?? "").trim().toUpperCase();
  const found = /^(\d{1,2})-(\d{1,2})-(\d{1,2}|X)-(\d{1,2})$/.exec(written) ?? /^(\d)(\d)(\d|X)(\d)$/.exec(written);
  if (!found) return null;
  const [lower, pause, up, hold] = found.slice(1);
  const isFast = up === "X";
  return { lower: Number(lower), pause: Number(pause), lift: isFast ? 1 : Number(up), hold: Number(hold), isFast };
}

/* The phases of one repetition in order; those of no length are left out. */
export function phasesOf(tempo, first = "lower") {
  const order = first === "lift" ? ["lift", "hold", "lower", "pause"] : ["lower", "pause", "lift", "hold"];
  return order
    .map((phase) => ({ phase, seconds: tempo[phase], isFast: phase === "lift" && tempo.isFast }))
    .filter(({ seconds }) => seconds > 0);
}

/* Pulling begins below and is lifted first; everything else is lowered first, unless it is only lowered. */
export const usuallyFirst = (side, name = "") => (side === "pull" && !/^lowering\b/i.test(name) ? "lift" : "lower");

/* Every beat of a set with its second from the start: counted in, phase by phase, and the end. */
export function beatsOf(phases, reps) {
  const beats = [];
  for (let i = 0; i < COUNT_IN; i += 1) {
    beats.push({ at: i, rep: 0, phase: "ready", count: COUNT_IN - i, isFirst: false, isFast: false });
  }
  let at = COUNT_IN;
  const most = Math.min(reps, MOST_REPS);
  for (let rep = 1; rep <= most; rep += 1) {
    for (const { phase, seconds, isFast } of phases) {
      for (let count = 1; count <= seconds; count += 1) {
        beats.push({ at, rep, phase, count, isFirst: count === 1, isFast });
        at += 1;
      }
    }
  }
  beats.push({ at, rep: most, phase: "end", count: 0, isFirst: true, isFast: false });
  return beats;
}

/* The beat that sounds at a second; none before the first. */
export const beatAt = (beats, second) => beats.findLast((beat) => beat.at <= second) ?? null;

/* A pitch for each phase, so that it is told by ear; its beginning is louder and longer than its further counts. */
const PITCHES = { ready: 523.25, lower: 329.63, pause: 440, lift: 659.26, hold: 493.88, end: 783.99 };

export function voiceOf({ phase, isFirst, isFast }) {
  const pitch = PITCHES[phase] * (isFast ? 1.5 : 1);
  return isFirst ? { pitch, seconds: 0.16, level: 0.6 } : { pitch, seconds: 0.05, level: phase === "ready" ? 0.45 : 0.25 };
}

export const wordsOf = ({ phase, isFast }) => {
  if (phase === "ready") return "get ready";
  if (phase === "end") return "done";
  return isFast ? "lift fast" : phase;
};
