/* Where a session stands, from the plan and from what was logged. Run: node --test tests/js */
import assert from "node:assert/strict";
import { test } from "node:test";
import {
  byPlace, furtherSlot, hurtBefore, keptSets, newest, nextSlot, restAfter, slotsOf, stopped, summary,
} from "../../static/js/phone/plan_state.js";

const line = (uid, pair, targets, more = {}) => ({
  uid, pair, targets, load: 0, load_kind: "none", measure: "reps", rest: 120, takes_load: false, ...more,
});
const set = (prescription, number, amount, more = {}) => ({
  uid: `${prescription}-${number}`, revision: 1, prescription, number, amount, load: 0, pain: null, rir: null,
  removed: false, done_at: `2026-03-11T10:${String(number).padStart(2, "0")}:00Z`, ...more,
});
const PAIR = [line("dip", "A", [8, 8, 7]), line("row", "A", [8, 8])];

test("a pair is done in alternation, and the longer exercise ends it alone", () => {
  const order = slotsOf(PAIR).map((slot) => slot.key);
  assert.deepEqual(order, ["dip:1", "row:1", "dip:2", "row:2", "dip:3"]);
});

test("letters follow each other", () => {
  const order = slotsOf([line("squat", "A", [5, 5]), line("plank", "B", [30])]).map((slot) => slot.key);
  assert.deepEqual(order, ["squat:1", "squat:2", "plank:1"]);
});

test("the set after the last one done is next", () => {
  const slots = slotsOf(PAIR);
  assert.equal(nextSlot(slots, [], 5).key, "dip:1");
  assert.equal(nextSlot(slots, [set("dip", 1, 8)], 5).key, "row:1");
});

test("sets that were passed over come back at the end", () => {
  const slots = slotsOf(PAIR);
  const sets = [set("dip", 1, 8), set("row", 2, 8, { done_at: "2026-03-11T10:30:00Z" })];
  assert.equal(nextSlot(slots, sets, 5).key, "dip:3");
  const later = [...sets, set("dip", 3, 7, { done_at: "2026-03-11T10:40:00Z" })];
  assert.equal(nextSlot(slots, later, 5).key, "row:1");
});

test("nothing more is asked of an exercise that hurt above the limit", () => {
  const sets = [set("dip", 1, 8, { pain: 6 })];
  assert.deepEqual([...stopped(sets, 5)], ["dip"]);
  assert.equal(nextSlot(slotsOf(PAIR), sets, 5).key, "row:1");
  const rowsDone = [...sets, set("row", 1, 8), set("row", 2, 8)];
  assert.equal(nextSlot(slotsOf(PAIR), rowsDone, 5), null);
});

test("pain at the limit does not stop an exercise", () => {
  assert.equal(stopped([set("dip", 1, 8, { pain: 5 })], 5).size, 0);
});

test("the worst pain above the limit is told on every other exercise", () => {
  const [dip, row] = PAIR;
  const sets = [set("dip", 1, 8, { pain: 6 }), set("dip", 2, 5, { pain: 8 }), set("row", 1, 8, { pain: 3 })];
  assert.equal(hurtBefore(row, sets, 5).number, 2);
  assert.equal(hurtBefore(dip, sets, 5), null);
  assert.equal(hurtBefore(row, [set("dip", 1, 8, { pain: 5 })], 5), null);
});

test("the phone's revision wins over an equal one of the server, an older one does not", () => {
  const server = new Map([["x", { uid: "x", revision: 2, amount: 8 }]]);
  const entry = (revision, amount) => ({ uid: "x", revision, body: { amount } });
  assert.equal(newest(server, [entry(2, 7)]).get("x").amount, 7);
  assert.equal(newest(server, [entry(1, 7)]).get("x").amount, 8);
  assert.equal(server.get("x").amount, 8, "what was known is not changed in place");
});

test("a set that was taken back no longer counts", () => {
  const known = new Map([["a", set("dip", 1, 8)], ["b", set("dip", 2, 8, { removed: true })]]);
  assert.deepEqual(keptSets(known).map((one) => one.number), [1]);
});

test("sets stand in the order of their moments, however these are written", () => {
  const early = set("dip", 2, 8, { uid: "e", done_at: "2026-03-11T10:00:00.500Z" });
  const late = set("dip", 1, 8, { uid: "l", done_at: "2026-03-11T12:00:01+01:00" });
  assert.deepEqual(keptSets(new Map([["l", late], ["e", early]])).map((one) => one.uid), ["e", "l"]);
});

test("two sets logged for one place on two phones both stay", () => {
  const places = byPlace([set("dip", 1, 8, { uid: "a" }), set("dip", 1, 7, { uid: "b" })]);
  assert.deepEqual([...places.keys()], ["dip:1", "dip:2"]);
});

test("one more set comes after all planned and logged ones", () => {
  assert.equal(furtherSlot(PAIR[1], [set("row", 3, 8)]).key, "row:4");
  assert.equal(furtherSlot(PAIR[1], []).target, null);
});

test("rest runs from the moment of the last set, for the time of its exercise", () => {
  const rest = restAfter([set("dip", 1, 8)], [line("dip", "A", [8], { rest: 90 })]);
  assert.deepEqual(rest, { since: Date.parse("2026-03-11T10:01:00Z"), seconds: 90 });
  assert.equal(restAfter([], PAIR), null);
});

test("the summary sets reps against the plan and leaves holds out of the reps", () => {
  const lines = [...PAIR, line("plank", "B", [30], { measure: "seconds" })];
  const sum = summary(lines, [set("dip", 1, 8), set("dip", 2, 6), set("plank", 1, 30)]);
  assert.deepEqual([sum.sets, sum.planned, sum.reps, sum.asked], [3, 6, 14, 39]);
  assert.deepEqual(sum.rows.map((row) => row.isShort), [true, true, false]);
});
