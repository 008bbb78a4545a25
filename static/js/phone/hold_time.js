/* A hold in seconds: got ready, held, past its target. Pure. */
export const READY = 3;
const MOST = 3600;

/* Where a hold stands, so many seconds after the tap that began it. */
export function holdAt(passed, target = 0) {
  if (passed < READY) return { isReady: false, left: Math.ceil(READY - passed), held: 0, isReached: false };
  /* Whole seconds, as they are prescribed; a second counts when it is full. */
  const held = Math.min(MOST, Math.floor(passed - READY));
  return { isReady: true, left: 0, held, isReached: target > 0 && held >= target };
}

/* The tones of a hold with their seconds after the tap. */
export function holdTones(target = 0) {
  const tones = [];
  for (let i = 0; i < READY; i += 1) tones.push({ at: i, pitch: 523.25, seconds: 0.06, level: 0.45 });
  tones.push({ at: READY, pitch: 783.99, seconds: 0.2, level: 0.6 });
  if (target > 0) {
    tones.push({ at: READY + target, pitch: 880, seconds: 0.18, level: 0.7 });
    tones.push({ at: READY + target + 0.2, pitch: 1174.66, seconds: 0.3, level: 0.7 });
  }
  return tones;
}
