/* On which day a session was done: a choice while nothing is logged yet, and the id of one that has no plan. */
import { makeUid } from "./uid.js";

/* A session without a plan gets its id here, and keeps it in the address through a reload. */
export function sessionUid() {
  const kept = location.hash.slice(1);
  if (/^[0-9a-f-]{36}$/.test(kept)) return kept;
  const made = makeUid();
  history.replaceState(null, "", `#${made}`);
  return made;
}

export class SessionDay {
  constructor(root, data, log) {
    [this.root, this.data, this.log] = [root, data, log];
    root?.addEventListener("change", () => {
      this.data.day = this.#chosen;
    });
  }

  get #chosen() {
    const { value } = this.root.querySelector("select");
    return value === this.data.today ? null : value;
  }

  /* What was said with the first entry holds; before that, what is chosen. */
  paint(isBegun) {
    const said = this.log.day;
    this.data.day = said ?? (this.root && !isBegun ? this.#chosen : null);
    if (this.root) this.root.hidden = isBegun;
  }
}
