/* Lines as they are done today: swapped, skipped, added; where the next set starts; when a set was done. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { trouble } from "../../static/js/phone/add_exercise.js";
import { addedLine, changeOf, easierLoad, lineKey, linesNow, momentFor, startFrom } from "../../static/js/phone/line_state.js";
import { byPlace, furtherSlot, keptSets, nextSlot, slotsOf, summary, warmUpSlot } from "../../static/js/phone/plan_state.js";

const PUSH_UP = { exercise: 2, name: "Push-up", measure: "reps", load: 0, loads: [], load_kind: "none", takes_load: false };
const PLANK = { ...PUSH_UP, exercise: 3, name: "Plank", measure: "seconds" };
const DIP = {
  uid: "dip", exercise: 1, name: "Dip", pair: "B", part: "supplementary", targets: [8, 8, 8], measure: "reps",
  load: 20, loads: [15, 17.5, 20, 22.5], load_kind: "added", takes_load: true, warm_up: false, rest: 90,
  swaps: [PUSH_UP, PLANK],
};
const said = (change, more = {}) => ({
  uid: "c", revision: 1, prescription: "dip", change, exercise: null, reason: "shoulder", removed: false,
  done_at: "2026-03-11T10:00:00Z", ...more,
});
const set = (number, amount, more = {}) => ({
  uid: `s${number}`, prescription: "dip", exercise: 1, number, amount, load: 20, target: 8, pain: null, rir: null,
  warm_up: false, removed: false, done_at: `2026-03-11T10:0${number}:00Z`, ...more,
});

test("a swapped line keeps its place and its targets, and names what it stands for", () => {
  const [line] = linesNow([DIP], [said("swap", { exercise: 2 })]);
  assert.deepEqual([line.uid, line.name, line.asked_name, line.targets], ["dip", "Push-up", "Dip", [8, 8, 8]]);
});

test("seconds are not asked for in repetitions", () => {
  const [line] = linesNow([DIP], [said("swap", { exercise: 3 })]);
  assert.deepEqual(line.targets, [null, null, null]);
  assert.equal(slotsOf([line]).length, 3);
});

test("nothing more is asked of a skipped line", () => {
  const lines = linesNow([DIP], [said("skip")]);
  assert.equal(lines[0].skipped, "shoulder");
  assert.equal(nextSlot(slotsOf(lines), [], 5), null);
});

test("of two changes the later one holds", () => {
  const changes = [said("skip", { done_at: "2026-03-11T10:05:00Z" }), said("swap", { exercise: 2, uid: "d" })];
  assert.equal(changeOf(changes, "dip").change, "skip");
  assert.equal(changeOf(changes, "row"), null);
});

test("a set without a planned line belongs to the line of its exercise", () => {
  const line = addedLine(PUSH_UP);
  assert.equal(lineKey({ prescription: null, exercise: 2 }), line.uid);
  assert.equal(furtherSlot(line, [set(1, 9, { prescription: null, exercise: 2 })]).number, 2);
});

test("after a short supplementary set the load drops by a step that the equipment can make", () => {
  assert.deepEqual(startFrom(DIP, [set(1, 8)]), { load: 20, amount: 8, dropped: null });
  const { load, dropped } = startFrom(DIP, [set(1, 6)]);
  assert.deepEqual([load, dropped.from, dropped.before.amount], [17.5, 20, 6]);
});

test("the load stays on a primary exercise, and at the lightest step", () => {
  assert.equal(startFrom({ ...DIP, part: "primary" }, [set(1, 6)]).dropped, null);
  assert.deepEqual(startFrom(DIP, [set(1, 6, { load: 15 })]), { load: 15, amount: 6, dropped: null });
});

test("more help is easier", () => {
  assert.equal(easierLoad({ load_kind: "assisted", loads: [5, 10, 20] }, 10), 20);
});

test("a swapped exercise does not start from the load of the planned one", () => {
  const [line] = linesNow([DIP], [said("swap", { exercise: 2 })]);
  assert.equal(startFrom(line, [set(1, 8)]).load, 0);
});

test("a warm-up set fills no place, counts for nothing and stands by itself", () => {
  const known = new Map([["w", set(1, 5, { uid: "w", warm_up: true, target: null })], ["s1", set(1, 8)]]);
  const sets = keptSets(known, [DIP]);
  assert.deepEqual([...byPlace(sets).keys()].sort(), ["dip:1", "dip:w1"]);
  assert.equal(nextSlot(slotsOf([DIP]), sets, 5).key, "dip:2");
  assert.equal(warmUpSlot(DIP, sets).key, "dip:w2");
  const { sets: counted, reps } = summary([DIP], sets);
  assert.deepEqual([counted, reps], [1, 8]);
});

test("sets of a warm-up pair fill their places", () => {
  const line = { ...DIP, warm_up: true };
  const sets = keptSets(new Map([["s1", set(1, 8, { warm_up: true })]]), [line]);
  assert.deepEqual([...byPlace(sets).keys()], ["dip:1"]);
});

test("a past day is written down from noon, a minute a set", () => {
  const now = Date.parse("2026-03-13T18:00:00");
  assert.equal(momentFor(null, [], now), now);
  assert.equal(momentFor("2026-03-11", [], now), Date.parse("2026-03-11T12:00:00"));
  assert.equal(momentFor("2026-03-11", [set(1, 8)], now), Date.parse("2026-03-11T10:02:00Z"));
});

test("a clock that was set back puts no set before the one just done; one that was days ahead says nothing", () => {
  const now = Date.parse("2026-03-11T09:00:00Z");
  const at = momentFor(null, [set(1, 8), set(2, 8)], now);
  assert.equal(at, Date.parse("2026-03-11T10:02:00Z") + 1);
  const next = { ...set(3, 8), done_at: new Date(at).toISOString() };
  const known = new Map([set(1, 8), set(2, 8), next].map((one) => [one.uid, one]));
  assert.equal(keptSets(known).at(-1).uid, "s3");
  assert.equal(momentFor(null, [set(1, 8, { done_at: "2027-01-01T10:00:00Z" })], now), now);
});

test("exercises that do not come are not waited for in silence", () => {
  assert.equal(trouble(200), "");
  assert.match(trouble(401), /signed in again/);
  for (const status of [404, 500, 503]) assert.match(trouble(status), /try again/);
});
