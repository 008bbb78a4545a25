/* Small choices that this browser remembers; where it remembers nothing they hold for the page alone. */
export function kept(key) {
  try {
    return localStorage.getItem(`blockwright-${key}`);
  } catch {
    return null;
  }
}

export function keep(key, value) {
  try {
    localStorage.setItem(`blockwright-${key}`, value);
  } catch {
    /* A private window or a full disk: nothing that was logged depends on it. */
  }
}
