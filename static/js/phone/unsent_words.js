/* An entry in words that a client and a coach can read. Pure. */
import { amountWords, loadWords, number } from "./phone_words.js";

function setWords(body, lines) {
  const line = lines.find((one) => one.uid === body.prescription);
  const done = line?.swaps?.find((one) => one.exercise === body.exercise) ?? line;
  const name = `${done?.name ?? body.session_name ?? "A set"}, set ${body.number}`;
  if (body.removed) return `${name}: taken back`;
  const amount = done ? amountWords(body.amount, done.measure) : String(body.amount);
  const load = done ? loadWords(body.load, done.load_kind) : body.load ? `${number(body.load)} kg` : "";
  const pain = body.pain ? `, pain ${body.pain} of 10` : "";
  return `${name}: ${amount}${load && ` · ${load}`}${pain}`;
}

function sessionWords(body) {
  const name = body.session_name || "Session";
  if (body.skipped_reason) return `${name}: skipped, ${body.skipped_reason}`;
  const effort = body.rpe === null || body.rpe === undefined ? "" : `, effort ${number(body.rpe)} of 10`;
  return `${name}: ${body.finished_at ? "finished" : "about the session"}${effort}`;
}

function lineWords(body, lines) {
  const line = lines.find((one) => one.uid === body.prescription);
  const change = body.removed ? "back to the plan" : body.change === "skip" ? "left out" : "swapped";
  return `${line?.name ?? "An exercise"}: ${change}${body.reason ? `, ${body.reason}` : ""}`;
}

export function entryWords(body, lines) {
  if (body.kind === "weight") return `Body weight: ${number(body.kg)} kg`;
  if (body.kind === "word") return `Your word to the coach: ${body.removed ? "taken back" : `“${body.text}”`}`;
  if (body.kind === "session") return sessionWords(body);
  return body.kind === "line" ? lineWords(body, lines) : setWords(body, lines);
}

/* The name alone, without what was done. */
export const nameOf = (entry, lines) => (entry.words ?? entryWords(entry.body, lines)).split(": ")[0];

/* What to say when something else stands than what was sent: it was changed elsewhere meanwhile. */
export function lateWords({ body }, { now }, lines) {
  if (!now) return "";
  const [said, stands] = [body, { ...body, ...now }].map((one) => entryWords(one, lines));
  if (said === stands) return "";
  return `This was changed elsewhere before it arrived from here. Entered here: ${said}. What stands: ${stands}. Correct it if that is wrong.`;
}

/* Everything unsent as a file: sentences first, and each entry as the server reads it. */
export function asFile(entries, asSent, now = Date.now()) {
  const about = "Entries that were kept on this phone and had not reached the coach when this file was made.";
  const rows = entries.map((entry) => ({
    what: entry.words ?? entryWords(entry.body, []),
    session: entry.body.session_name ?? "",
    said_at: entry.body.done_at ?? entry.body.on ?? "",
    ...(entry.refused ? { not_accepted_because: entry.refused } : {}),
    entry: asSent(entry),
  }));
  return JSON.stringify({ about, made_at: new Date(now).toISOString(), entries: rows }, null, 2);
}

export function unsentHereWords(count) {
  if (!count) return "Everything that you entered here has reached your coach.";
  const what = count === 1 ? "One entry is" : `${count} entries are`;
  return `${what} kept on this phone and sent as soon as Today opens with a network.`;
}

/* This page needs nobody to be signed in: it tells no more than the number of what others entered. */
export const ownOf = (entries, kept) => entries.filter((entry) => kept && entry.user === kept.user);
