/* A hold counts after getting ready, in whole seconds. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { READY, holdAt, holdTones } from "../../static/js/phone/hold_time.js";

test("three seconds to get ready count for nothing", () => {
  assert.deepEqual([0, 0.5, 1, 2.9].map((passed) => holdAt(passed, 30).left), [3, 3, 2, 1]);
  assert.deepEqual(holdAt(2.99, 30), { isReady: false, left: 1, held: 0, isReached: false });
});

test("a second counts when it is full", () => {
  assert.equal(holdAt(READY, 30).held, 0);
  assert.equal(holdAt(READY + 29.99, 30).held, 29);
  assert.deepEqual(holdAt(READY + 30, 30), { isReady: true, left: 0, held: 30, isReached: true });
});

test("it goes on past the target, for minutes, up to what a set may say", () => {
  assert.equal(holdAt(READY + 185.2, 30).held, 185);
  assert.equal(holdAt(READY + 9999, 30).held, 3600);
});

test("without a target nothing is reached", () => {
  assert.equal(holdAt(READY + 50).isReached, false);
  assert.ok(holdTones(0).every((tone) => tone.at <= READY));
});

test("the target sounds when it is full, after three ticks and the start", () => {
  const at = holdTones(20).map((tone) => tone.at);
  assert.deepEqual(at.slice(0, 5), [0, 1, 2, READY, READY + 20]);
});
