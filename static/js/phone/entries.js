/* Entries as the server reads them. An entry: uid, revision and a body; made here, never changed in place. */
import { makeUid } from "./uid.js";

const moment = (now) => new Date(now).toISOString();

export function newSet(data, slot, values, now = Date.now()) {
  const { line, number, target } = slot;
  return {
    uid: makeUid(now),
    revision: 1,
    body: {
      kind: "set",
      session: data.session,
      planned_session: data.planned_session,
      session_name: data.session_name,
      exercise: line.exercise,
      prescription: line.uid,
      number,
      target,
      target_load: target === null ? null : line.load,
      warm_up: line.warm_up,
      rir: null,
      pain: null,
      pain_where: "",
      note: "",
      removed: false,
      done_at: moment(now),
      ...values,
    },
  };
}

/* The same set, said better. One that was refused for its time is done now. */
export function revisedSet(data, set, changes, now = Date.now()) {
  const { uid, revision, refused, ...body } = set;
  return {
    uid,
    revision: revision + 1,
    body: {
      ...body,
      kind: "set",
      session: data.session,
      planned_session: data.planned_session,
      session_name: data.session_name,
      done_at: refused ? moment(now) : body.done_at,
      ...changes,
    },
  };
}

/* What is said of the whole session: effort, a word, its end, or why it was skipped. */
export function aboutSession(data, about, changes, now = Date.now()) {
  const { uid: _uid, revision = 0, refused: _refused, ...before } = about ?? {};
  return {
    uid: data.session,
    revision: revision + 1,
    body: {
      rpe: null,
      note: "",
      finished_at: null,
      skipped_reason: "",
      done_at: moment(now),
      ...before,
      kind: "session",
      session: data.session,
      planned_session: data.planned_session,
      session_name: data.session_name,
      ...changes,
    },
  };
}

export function bodyWeight(data, kg, now = Date.now()) {
  return { uid: makeUid(now), revision: 1, body: { kind: "weight", on: data.today, kg } };
}
