/* Where a session stands: what is planned, what was logged, what comes next. Pure. */
import { lineKey } from "./line_state.js";

export const keyOf = (uid, number) => `${uid}:${number}`;

/* All planned sets in the order in which they are done: A1 set 1, A2 set 1, A1 set 2, ... */
export function slotsOf(lines) {
  const slots = [];
  for (const pair of new Set(lines.map((line) => line.pair))) {
    const those = lines.filter((line) => line.pair === pair);
    const most = Math.max(...those.map((line) => line.targets.length));
    for (let number = 1; number <= most; number += 1) {
      for (const line of those) {
        if (number <= line.targets.length) {
          slots.push({ key: keyOf(line.uid, number), line, number, target: line.targets[number - 1] });
        }
      }
    }
  }
  return slots;
}

/* What is known of each entry: the newest revision of the server's and the phone's; the phone's wins a tie. */
export function newest(known, entries) {
  const all = new Map(known);
  for (const entry of entries) {
    const before = all.get(entry.uid);
    if (!before || entry.revision >= before.revision) {
      all.set(entry.uid, { ...entry.body, uid: entry.uid, revision: entry.revision, refused: entry.refused ?? "" });
    }
  }
  return all;
}

/* Sets as they were done; a warm-up set of a working line stands aside and fills no place of the plan. */
export function keptSets(known, lines = []) {
  const working = new Set(lines.filter((line) => !line.warm_up).map((line) => line.uid));
  return [...known.values()]
    .filter((one) => one.number !== undefined && !one.removed)
    .map((one) => ({ ...one, aside: Boolean(one.warm_up) && working.has(lineKey(one)) }))
    .sort((a, b) => Date.parse(a.done_at) - Date.parse(b.done_at) || a.number - b.number);
}

/* What was said of lines: swapped or skipped, and not taken back. */
export const keptChanges = (known) => [...known.values()].filter((one) => one.change !== undefined && !one.removed);

/* Logged sets by their place; two of the same place (two phones) both stay, the later one as a further set. */
export function byPlace(sets) {
  const places = new Map();
  for (const one of sets) {
    const uid = lineKey(one);
    let number = one.aside ? `w${one.number}` : one.number;
    while (places.has(keyOf(uid, number))) number = one.aside ? `${number}'` : number + 1;
    places.set(keyOf(uid, number), one);
  }
  return places;
}

/* Exercises on which pain above the limit was marked: nothing more of them is asked for. */
export const stopped = (sets, limit) =>
  new Set(sets.filter((one) => one.pain !== null && one.pain > limit).map(lineKey));

/* The worst pain above the limit that was marked on another exercise; none without any. */
export function hurtBefore(line, sets, limit) {
  const hurt = sets.filter((one) => (one.pain ?? 0) > limit && lineKey(one) !== line.uid);
  return hurt.reduce((worst, one) => (worst && worst.pain >= one.pain ? worst : one), null);
}

/* The next open set after the one just done; else an earlier one that was passed over; else none. */
export function nextSlot(slots, sets, limit) {
  const places = byPlace(sets);
  const painful = stopped(sets, limit);
  const last = sets.findLast((one) => !one.aside);
  const start = last ? slots.findIndex((slot) => slot.key === keyOf(lineKey(last), last.number)) : -1;
  const ahead = [...slots.slice(start + 1), ...slots.slice(0, start + 1)];
  const isOpen = ({ key, line }) => !places.has(key) && !painful.has(line.uid) && !line.skipped;
  return ahead.find(isOpen) ?? null;
}

/* The place of one more set than planned or logged. */
export function furtherSlot(line, sets) {
  const mine = sets.filter((one) => lineKey(one) === line.uid && !one.aside);
  const number = Math.max(line.targets.length, mine.length, ...mine.map((one) => one.number)) + 1;
  return { key: keyOf(line.uid, number), line, number, target: null };
}

/* The place that a key names: planned, or beyond the plan. */
export function slotAt(key, lines) {
  const planned = slotsOf(lines).find((slot) => slot.key === key);
  if (planned) return planned;
  const [uid, number] = key.split(":");
  const line = lines.find((one) => one.uid === uid);
  return { key, line, number: Number(number.replace(/\D/g, "")), target: null, aside: number.startsWith("w") };
}

/* The place of one more warm-up set; it counts for nothing. */
export function warmUpSlot(line, sets) {
  const number = sets.filter((one) => lineKey(one) === line.uid && one.aside).length + 1;
  return { key: keyOf(line.uid, `w${number}`), line, number, target: null, aside: true };
}

/* When rest began and how long it is meant to be [s], from the last set alone. */
export function restAfter(sets, lines) {
  const last = sets.at(-1);
  const line = last && lines.find((one) => one.uid === lineKey(last));
  return line ? { since: Date.parse(last.done_at), seconds: line.rest } : null;
}

/* What was asked and done, exercise by exercise. */
export function summary(lines, sets) {
  const rows = lines.map((line) => {
    const mine = sets.filter((one) => lineKey(one) === line.uid && !one.aside);
    const done = mine.sort((a, b) => a.number - b.number);
    const asked = line.targets.reduce((sum, one) => sum + (one ?? 0), 0);
    const got = done.reduce((sum, one) => sum + one.amount, 0);
    return { line, done, asked, got, isShort: got < asked };
  });
  const reps = rows.filter((row) => row.line.measure === "reps");
  const add = (of) => reps.reduce((sum, row) => sum + row[of], 0);
  const working = sets.filter((one) => !one.aside).length;
  return { rows, sets: working, planned: slotsOf(lines).length, reps: add("got"), asked: add("asked") };
}
