/* On which day a session was done: a choice while nothing is logged yet, and the id of one that has no plan. */
import { dayNow, daysAfter } from "./local_day.js";
import { makeUid } from "./uid.js";

/* A session without a plan gets its id here, and keeps it in the address through a reload. */
export function sessionUid() {
  const kept = location.hash.slice(1);
  if (/^[0-9a-f-]{36}$/.test(kept)) return kept;
  const made = makeUid();
  history.replaceState(null, "", `#${made}`);
  return made;
}

const dayWords = (day) =>
  new Date(`${day}T12:00`).toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short" });

export class SessionDay {
  constructor(root, data, log) {
    [this.root, this.data, this.log] = [root, data, log];
    root?.addEventListener("change", () => {
      this.data.day = this.#chosen;
    });
  }

  get #chosen() {
    const { value } = this.root.querySelector("select");
    return value === dayNow(this.data) ? null : value;
  }

  /* A page that was made on another day offers the days since too, and today unless another one was chosen. */
  #renew() {
    const select = this.root.querySelector("select");
    const wasFirst = select.selectedIndex === 0;
    const since = daysAfter(select.options[0].value, dayNow(this.data));
    select.prepend(...since.map((day) => new Option(dayWords(day), day)));
    if (wasFirst) select.selectedIndex = 0;
  }

  /* What was said with the first entry holds; before that, what is chosen. */
  paint(isBegun) {
    if (this.root) this.#renew();
    const said = this.log.day;
    this.data.day = said ?? (this.root && !isBegun ? this.#chosen : null);
    if (this.root) this.root.hidden = isBegun;
  }
}
