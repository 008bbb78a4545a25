/* What the head and the foot of the page are told of a session: saved sets, minutes, rest. */
import { restAfter } from "./plan_state.js";

export function tellTheBars({ about, lines, sets, next, data }) {
  const began = sets.length ? Date.parse(sets[0].done_at) : null;
  const ended = about?.finished_at ? Date.parse(about.finished_at) : null;
  document.querySelector("saved-count").count(sets);
  document.querySelector("session-clock")?.run(began, ended, data.day ? 0 : data.minutes);
  const timer = document.querySelector("rest-timer");
  if (next && !data.day) timer.start(restAfter(sets, lines));
  else timer.stop();
}
