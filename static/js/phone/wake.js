/* Keeps the screen lit while a session runs, where the device can; elsewhere nothing happens. */
const reasons = new Set();
let lock = null;
let isAsking = false;

async function follow() {
  if (!navigator.wakeLock || isAsking || document.hidden) return;
  isAsking = true;
  try {
    if (reasons.size && !lock) {
      lock = await navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => (lock = null), { once: true });
    } else if (!reasons.size && lock) {
      await lock.release();
      lock = null;
    }
  } catch {
    /* Refused, as on an empty battery: the screen goes dark as it always did. */
    lock = null;
  }
  isAsking = false;
  if (lock && !reasons.size) follow();
}

/* reason: who needs the light, as "rest" or "tempo". */
export function stayAwake(reason, isNeeded) {
  const had = reasons.has(reason);
  if (had === isNeeded) return;
  if (isNeeded) reasons.add(reason);
  else reasons.delete(reason);
  follow();
}

/* The browser lets go of it whenever the page is out of sight. */
document.addEventListener("visibilitychange", follow);
