/* Pages that the service worker keeps for one account: when to ask for them anew, when to let go of them. */
const KEY = "blockwright-kept-pages";
const MINUTE = 60000;
/* A changed plan is fetched at once, a changed log not after every set; anything else twice a day. */
export const AFTER_LOG = 15 * MINUTE;
export const AT_LATEST = 6 * 60 * MINUTE;

const PAGES = "blockwright-pages-";

/* Whether what was kept last is still there: a new release or a full phone may have taken it away. Pure. */
export const isThere = (before, names) => Boolean(before) && names.includes(`${PAGES}${before.version}`);

/* before: what was kept last, and when; mark: how plan and log stand now; names: of all caches. Pure. */
export function isDue(before, mark, now, names) {
  if (!isThere(before, names) || before.plan !== mark.plan) return true;
  const passed = now - before.at;
  return passed < 0 || passed >= (before.log === mark.log ? AT_LATEST : AFTER_LOG);
}

export function lastKept() {
  try {
    return JSON.parse(localStorage.getItem(KEY));
  } catch {
    return null;
  }
}

export function rememberKept(kept) {
  try {
    localStorage.setItem(KEY, JSON.stringify(kept));
  } catch {
    /* No storage: they are asked for again with the next page. */
  }
}

/* Somebody leaves: their pages go. What is unsent stays; it belongs to the outbox. */
export async function forgetPages() {
  rememberKept(null);
  if (!("caches" in globalThis)) return;
  const names = (await caches.keys()).filter((name) => name.startsWith(PAGES));
  await Promise.all(names.map((name) => caches.delete(name)));
}
