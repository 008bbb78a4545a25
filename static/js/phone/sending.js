/* What an answer of the server means for an entry, and when to try again. Pure. */

/* kept: forget it. refused: keep it, show why. signed-out: stop and ask. token: fetch a new token. retry: later.
   Only what names the entry, or says that it is none, was said by the server of this entry: some box on the way may
   have answered for it, or the address belongs to another account now. */
export function verdict(status, body, uid) {
  if (status >= 200 && status < 300) return body?.uid === uid ? "kept" : "retry";
  if (status === 401 || status === 409) return "signed-out";
  if (status === 403) return "token";
  if (status === 422 && body?.uid === uid) return "refused";
  return status === 400 && body?.uid === null && body.error ? "refused" : "retry";
}

export const FIRST_WAIT = 2000;
export const LONGEST_WAIT = 120000;

/* Twice as long each time, with up to a quarter more so that a whole gym does not call at once. */
export function waitFor(attempt, random = Math.random()) {
  const plain = Math.min(FIRST_WAIT * 2 ** Math.max(0, attempt - 1), LONGEST_WAIT);
  return Math.round(plain * (1 + random / 4));
}

export function cookieValue(cookies, name) {
  for (const part of cookies.split(";")) {
    const [key, ...value] = part.trim().split("=");
    if (key === name) return decodeURIComponent(value.join("="));
  }
  return "";
}

/* The next one to send: oldest first. Refused ones wait to be corrected, those to a closed address for later. */
export function nextToSend(entries, closed = new Set()) {
  const ready = entries.filter((entry) => !entry.refused && !closed.has(entry.url));
  return ready.sort((a, b) => a.key - b.key)[0] ?? null;
}

/* Whether only this address turns entries away: what goes elsewhere need not wait for it. */
export const isClosed = (status) => status >= 400 && status < 500 && ![408, 425, 429].includes(status);

/* An entry as the server reads it. One that an older page kept has no edit, and is sent without. */
export function asSent({ body, uid, revision, client, edit }) {
  return { ...body, uid, revision, client, ...(edit ? { edit } : {}) };
}

/* What the phone knows once an entry has arrived: what was said, or what the server says stands now. */
export function keptOf(entry, receipt, now = Date.now()) {
  const { uid: _uid, revision, ...values } = receipt.now ?? {};
  const { key: _key, url: _url, edit: _edit, refused: _refused, words: _words, ...about } = entry;
  return {
    ...about,
    revision: revision ?? Math.max(entry.revision, receipt.revision ?? 0),
    body: { ...entry.body, ...values },
    at: now,
  };
}

/* Why not everything has arrived, the most pressing first; "" when it is on its way. */
export function situation({ entries, state, isOnline }) {
  if (!entries.length) return "";
  if (state === "signed-out") return "signed-out";
  if (entries.every((entry) => entry.refused)) return "refused";
  if (!isOnline) return "offline";
  return state === "waiting" ? "waiting" : "";
}
