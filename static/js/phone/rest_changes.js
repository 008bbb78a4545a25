/* A rest made longer or skipped, remembered for this tab by the moment it began: a reload keeps it. */
const key = (since) => `blockwright-rest-${since}`;

export function changesOf(since) {
  try {
    return JSON.parse(sessionStorage.getItem(key(since))) ?? { extra: 0, skipped: false };
  } catch {
    return { extra: 0, skipped: false };
  }
}

export function keepChanges(since, changes) {
  try {
    sessionStorage.setItem(key(since), JSON.stringify(changes));
  } catch {
    /* Then a reload brings the rest back as it was planned. */
  }
}
