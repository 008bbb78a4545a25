/* The acts of this window, one after another, each on top of what the one before it made.
   An act is sent with the revision that the window has by then: its own edits are never stale.
   It has an id. Where the network goes before the answer nobody knows whether it was done, so it
   is sent once more under the same id: the server does it then, or tells what it did. */
import { makeUid } from "../phone/uid.js";
import { say } from "../say.js";

/* The page has taken in the answer to an act. */
const EDITED = "block:edited";

/* How long [ms] a network gets to come back. */
const PAUSE = 1000;

/* This page, as long as it is open, and its acts. */
const page = makeUid();
let acts = 0;

let last = Promise.resolve();
let waiting = [];
/* How often a conflict was answered: what was pressed before the coach could see it stays on the
   plan that the coach saw, so that it is kept as well and decided upon. */
let conflicts = 0;
let sending;

const editor = () => document.querySelector("block-editor");

export const isAtWork = () => waiting.length > 0;

/* When all that was pressed until now is answered. */
export const allAnswered = () => last;

/* The revision and the id that an act under way is sent with. */
export const underWay = () => sending;

/* The id of an act. */
export const makeSent = () => `${page}.${(acts += 1)}`;

/* Whether the act was done. What may be pressed only once waits while the same is under way. */
export function post(url, values, { once = false, begin } = {}) {
  const key = `${url} ${JSON.stringify(values)}`;
  const same = once && waiting.find((one) => one.key === key);
  if (same) return same.done;
  const act = { key, url, values, begin, conflicts, seen: editor().revision, sent: makeSent() };
  waiting.push(act);
  act.done = last.then(() => send(act)).finally(() => waiting.splice(waiting.indexOf(act), 1));
  last = act.done;
  return act.done;
}

async function send(act) {
  const root = editor();
  if (act.isDropped || !root) return false;
  sending = { ...act, root, revision: act.conflicts === conflicts ? root.revision : act.seen };
  act.begin?.();
  const edited = new Promise((done) => document.addEventListener(EDITED, done, { once: true }));
  await ask(act, root);
  if (!sending.status) {
    await new Promise((done) => setTimeout(done, PAUSE));
    sending.isAgain = true;
    await ask(act, root);
  }
  const { status, isConflict, isTold } = sending;
  /* What comes next, an act or an opened panel, must not be met by the page's settling of this. */
  if (isTold) await edited;
  sending = undefined;
  if (isConflict) conflicts += 1;
  if (!status) dropOthers(act);
  return status >= 200 && status < 300;
}

async function ask(act, root) {
  try {
    await htmx.ajax("POST", act.url, { source: root, swap: "none", values: act.values });
  } catch {
    /* It was said already that the request failed. */
  }
}

/* What is sent once more is not said to have failed yet. */
document.addEventListener(
  "htmx:sendError",
  (event) => {
    const { elt, verb } = event.detail.requestConfig;
    if (sending && !sending.isAgain && elt === sending.root && verb === "post") event.stopImmediatePropagation();
  },
  { capture: true },
);

/* Without an answer nobody knows what the plan is by now: nothing more is put on top of it. */
function dropOthers(failed) {
  const others = waiting.filter((one) => one !== failed && !one.isDropped);
  for (const one of others) one.isDropped = true;
  const more = others.length;
  if (more) say(`Not done either: ${more} more ${more === 1 ? "change" : "changes"} that you made since.`);
}

document.addEventListener("htmx:afterRequest", (event) => {
  const { requestConfig, xhr } = event.detail;
  if (!sending || requestConfig.elt !== sending.root || requestConfig.verb !== "post") return;
  sending.status = xhr.status;
  sending.isTold = xhr.getResponseHeader("HX-Trigger-After-Settle")?.includes(EDITED) ?? false;
  sending.isConflict = xhr.status === 422 && xhr.getResponseHeader("HX-Retarget") === "#block-workspace";
});
