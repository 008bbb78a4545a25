/* The words of the phone pages, and entries as the server reads them. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { aboutSession, bodyWeight, newSet, revisedSet } from "../../static/js/phone/entries.js";
import { askedLoadWords, clockWords, loadWords, saveWords, savedWords, setsWords } from "../../static/js/phone/phone_words.js";

const LINE = {
  uid: "p", exercise: 4, measure: "reps", load: 7.5, load_kind: "added", takes_load: true, warm_up: false,
};
const SLOT = { line: LINE, number: 2, target: 6 };
const DATA = { session: "s", planned_session: "s", session_name: "Upper A", today: "2026-03-11" };

test("the button says when a set went as planned and what differs when not", () => {
  assert.equal(saveWords(SLOT, 6, 7.5), "6 reps, as planned");
  assert.equal(saveWords(SLOT, 5, 7.5), "Log 5 reps");
  assert.equal(saveWords(SLOT, 6, 5), "Log 6 reps · +5 kg");
  assert.equal(saveWords(SLOT, 1, 0), "Log 1 rep · no load");
  assert.equal(saveWords({ ...SLOT, target: null }, 6, 7.5), "Log 6 reps");
});

test("loads are told the way they are meant", () => {
  const told = [["added", 7.5], ["external", 20], ["assisted", 15], ["added", 0], ["none", 5]];
  const words = ["+7.5 kg", "20 kg", "15 kg of help", "", ""];
  assert.deepEqual(told.map(([kind, load]) => loadWords(load, kind)), words);
});

test("a load that the coach left to find is never told as 0 kg", () => {
  const told = [["external", 0, true], ["assisted", 0, true], ["added", 0, false], ["added", 0, true], ["external", 20, true]];
  const words = ["weight to find", "help to find", "", "weight to find", "20 kg"];
  const asked = ([load_kind, load, needs_load]) => askedLoadWords(load, { ...LINE, load_kind, needs_load });
  assert.deepEqual(told.map(asked), words);
  const open = { ...SLOT, line: { ...LINE, load: 0, load_kind: "external", needs_load: true } };
  assert.equal(saveWords(open, 6, 0), "Log 6 reps · no weight");
  assert.equal(saveWords(open, 6, 20), "Log 6 reps · 20 kg");
});

test("sets are told in one line, with the load once when it is the same", () => {
  const sets = [{ amount: 6, load: 7.5 }, { amount: 5, load: 7.5 }];
  assert.equal(setsWords(sets, LINE), "6-5 · +7.5 kg");
  assert.equal(setsWords([...sets, { amount: 5, load: 5 }], LINE), "6 (+7.5 kg), 5 (+7.5 kg), 5 (+5 kg)");
  assert.equal(setsWords([], LINE), "not done");
});

test("what is saved here and what has arrived are told apart", () => {
  const words = (more) => savedWords({ saved: 5, unsent: 0, others: 0, why: "", withWhom: "with your coach", ...more });
  assert.equal(words({}), "5 saved here, 5 with your coach");
  assert.equal(words({ unsent: 2 }), "5 saved here, 3 with your coach");
  assert.equal(words({ others: 1 }), "5 saved here, 5 with your coach · 1 more to send");
  assert.equal(words({ unsent: 5, why: "signed-out" }), "5 saved here, 0 with your coach · sign in to send");
  assert.equal(words({ unsent: 1, why: "offline" }), "5 saved here, 4 with your coach · no network");
  assert.equal(words({ saved: 0 }), "Nothing logged yet");
});

test("a clock shows minutes and seconds", () => {
  assert.deepEqual([72, 5, 0, -61].map(clockWords), ["1:12", "0:05", "0:00", "1:01"]);
});

test("a correction keeps the id and the moment, and counts its revision up", () => {
  const made = newSet(DATA, SLOT, { amount: 6, load: 7.5 }, Date.parse("2026-03-11T10:00:00Z"));
  const { uid, revision, body } = revisedSet(DATA, { ...made.body, uid: made.uid, revision: 1 }, { rir: 2 });
  assert.deepEqual([uid, revision, body.rir, body.amount], [made.uid, 2, 2, 6]);
  assert.equal(body.done_at, "2026-03-11T10:00:00.000Z");
});

test("a set refused for its time is done now when it is corrected", () => {
  const refused = { uid: "u", revision: 1, refused: "Time: ...", done_at: "1970-01-01T00:00:00.000Z" };
  assert.equal(revisedSet(DATA, refused, {}, 0).body.done_at, new Date(0).toISOString());
  assert.equal(revisedSet(DATA, refused, {}, 86400000).body.done_at, "1970-01-02T00:00:00.000Z");
});

test("what is said of a session is kept when more is said", () => {
  const skipped = aboutSession(DATA, undefined, { skipped_reason: "ill" }, 0);
  const back = aboutSession(DATA, { ...skipped.body, uid: "s", revision: 1 }, { skipped_reason: "", rpe: 7 });
  assert.deepEqual([back.uid, back.revision, back.body.rpe, back.body.skipped_reason], ["s", 2, 7, ""]);
  assert.equal(back.body.done_at, skipped.body.done_at);
});

test("body weight belongs to the client's day", () => {
  const now = Date.parse("2026-03-11T09:00:00Z");
  assert.deepEqual(bodyWeight({ ...DATA, zone: "UTC" }, 66.4, now).body, { kind: "weight", on: "2026-03-11", kg: 66.4 });
});

test("a finish that was refused for its time ends now, and one that was not keeps its end", () => {
  const first = aboutSession(DATA, undefined, { finished: true, rpe: 7 }, Date.parse("2020-01-01T10:00:00Z"));
  assert.equal(first.body.finished_at, "2020-01-01T10:00:00.000Z");
  const before = { ...first.body, uid: "s", revision: 1, refused: "End: the clock" };
  const right = Date.parse("2026-03-11T10:00:00Z");
  const again = aboutSession(DATA, before, { finished: true, rpe: 7 }, right);
  assert.deepEqual([again.body.finished_at, again.body.done_at], Array(2).fill("2026-03-11T10:00:00.000Z"));
  const later = aboutSession(DATA, { ...again.body, uid: "s", revision: 2, refused: "" }, { finished: true, rpe: 8 });
  assert.deepEqual([later.body.finished_at, later.body.rpe], ["2026-03-11T10:00:00.000Z", 8]);
  assert.equal(aboutSession(DATA, undefined, { skipped_reason: "ill" }).body.finished_at, null);
  assert.ok(!("finished" in again.body));
});
