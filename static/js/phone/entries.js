/* Entries as the server reads them. An entry: uid, revision and a body; made here, never changed in place. */
import { dayNow } from "./local_day.js";
import { makeUid } from "./uid.js";

const moment = (now) => new Date(now).toISOString();

const about = (data) => ({
  session: data.session,
  planned_session: data.planned_session,
  session_name: data.session_name,
  on: data.day ?? null,
});

/* What is kept of an entry when it is said anew. */
function bodyOf(one) {
  const { uid: _uid, revision: _revision, refused: _refused, edit: _edit, aside: _aside, ...body } = one;
  return body;
}

export function newSet(data, slot, values, now = Date.now(), at = now) {
  const { line, number, target } = slot;
  return {
    uid: makeUid(now),
    revision: 1,
    body: {
      kind: "set",
      ...about(data),
      exercise: line.exercise,
      prescription: line.uid === `x${line.exercise}` ? null : line.uid,
      number,
      target,
      target_load: target === null || line.asked_name ? null : line.load,
      warm_up: Boolean(slot.aside || line.warm_up),
      rir: null,
      pain: null,
      pain_where: "",
      note: "",
      removed: false,
      done_at: moment(at),
      ...values,
    },
  };
}

/* The same set, said better. One that was refused for its time is done now. */
export function revisedSet(data, set, changes, now = Date.now()) {
  return {
    uid: set.uid,
    revision: set.revision + 1,
    body: {
      ...bodyOf(set),
      kind: "set",
      ...about(data),
      on: set.on ?? data.day ?? null,
      done_at: set.refused ? moment(now) : set.done_at,
      ...changes,
    },
  };
}

/* What is said of the whole session: effort, a word, its end, or why it was skipped. One that was refused for its
   time is said, and ends, now. */
export function aboutSession(data, before, { finished = false, ...changes }, now = Date.now()) {
  const { finished_at: ended = null, done_at: said = moment(now) } = before ?? {};
  const end = finished || ended ? (ended ?? moment(now)) : null;
  return {
    uid: data.session,
    revision: (before?.revision ?? 0) + 1,
    body: {
      rpe: null,
      note: "",
      skipped_reason: "",
      ...bodyOf(before ?? {}),
      kind: "session",
      ...about(data),
      done_at: before?.refused ? moment(now) : said,
      finished_at: end && before?.refused ? moment(now) : end,
      ...changes,
    },
  };
}

/* A line that is swapped, skipped, or done as planned after all. */
export function lineChange(data, line, changes, now = Date.now()) {
  return {
    uid: line.change?.uid ?? makeUid(now),
    revision: (line.change?.revision ?? 0) + 1,
    body: {
      kind: "line",
      ...about(data),
      prescription: line.uid,
      change: "skip",
      exercise: null,
      reason: "",
      removed: false,
      ...bodyOf(line.change ?? {}),
      ...changes,
      done_at: moment(now),
    },
  };
}

export function bodyWeight(data, kg, now = Date.now()) {
  return { uid: makeUid(now), revision: 1, body: { kind: "weight", on: dayNow(data, now), kg } };
}

/* A word to the coach, or a better wording of it; with a week it answers the note of that week. */
export function word(before, changes, now = Date.now()) {
  return {
    uid: before?.uid ?? makeUid(now),
    revision: (before?.revision ?? 0) + 1,
    body: { kind: "word", week: null, text: "", removed: false, ...changes, done_at: moment(now) },
  };
}
