/* Only one page of this browser hands in at a time: two tabs, or columns side by side. */
import { makeUid } from "./uid.js";

const NAME = "blockwright-sender";
/* How long a page that went silent holds the others up [ms]; longer than one request may take. */
export const LEASE = 25000;
const LOOK_AGAIN = 400;

const pause = (time) => new Promise((resolve) => setTimeout(resolve, time));

/* Whether a page may begin: nobody holds the lease, it ran out, or it is this page's own. Pure. */
export function mayTake(held, me, now) {
  if (!held) return true;
  const [owner, until] = held.split(" ");
  return owner === me || !(Number(until) > now) || Number(until) > now + 2 * LEASE;
}

/* Over plain http there are no locks of the browser: a lease in its storage. */
async function leased(work, storage) {
  const me = makeUid();
  const hold = () => storage.setItem(NAME, `${me} ${Date.now() + LEASE}`);
  const isMine = () => (storage.getItem(NAME) ?? "").startsWith(me);
  while (!isMine()) {
    if (mayTake(storage.getItem(NAME), me, Date.now())) hold();
    /* Two that take it in the same moment: the later writer has it. */
    await pause(isMine() ? 40 : LOOK_AGAIN);
  }
  const renewed = setInterval(hold, LEASE / 5);
  try {
    return await work();
  } finally {
    clearInterval(renewed);
    if (isMine()) storage.removeItem(NAME);
  }
}

export async function alone(work) {
  if (navigator.locks) return navigator.locks.request(NAME, work);
  let storage;
  try {
    storage = globalThis.localStorage;
    storage.getItem(NAME);
  } catch {
    /* No storage to agree in. The server keeps each entry once, so that sending twice only costs time. */
    return work();
  }
  return leased(work, storage);
}
