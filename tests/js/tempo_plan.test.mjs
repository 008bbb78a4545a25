/* A tempo becomes beats. The order and meaning of the four counts: common practice, no source. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { COUNT_IN, beatAt, beatsOf, parseTempo, phasesOf, usuallyFirst, voiceOf, wordsOf } from "../../static/js/phone/tempo_plan.js";

const phases = (text, first) => phasesOf(parseTempo(text), first).map((one) => one.phase).join(" ");

test("a tempo is read with and without dashes", () => {
  const slow = { lower: 3, pause: 1, lift: 1, hold: 0, isFast: true };
  for (const text of ["3-1-X-0", "31X0", " 3-1-x-0 "]) assert.deepEqual(parseTempo(text), slow, text);
  assert.equal(parseTempo("10-0-1-0").lower, 10);
});

test("what is no tempo has no beat", () => {
  for (const text of ["", null, undefined, "3-1", "X-0-1-0", "3-0-1-0-1", "30100", "slow"]) assert.equal(parseTempo(text), null, text);
});

test("lowering comes first unless it begins with the lift", () => {
  assert.equal(phases("3-1-X-2"), "lower pause lift hold");
  assert.equal(phases("3-1-X-2", "lift"), "lift hold lower pause");
  assert.equal(phases("3-0-1-0"), "lower lift");
  assert.equal(phases("0-0-0-0"), "");
});

test("a pull is lifted first, a push or a lowering pull is not", () => {
  assert.equal(usuallyFirst("pull", "Chin-up"), "lift");
  assert.equal(usuallyFirst("pull", "Lowering pull-up"), "lower");
  assert.equal(usuallyFirst("push", "Push-up"), "lower");
  assert.equal(usuallyFirst("legs"), "lower");
});

test("six repetitions of 3-1-X-0 take thirty seconds after the count-in", () => {
  const beats = beatsOf(phasesOf(parseTempo("3-1-X-0")), 6);
  assert.deepEqual(beats.slice(0, 5).map((one) => [one.at, one.phase, one.count]), [
    [0, "ready", 3],
    [1, "ready", 2],
    [2, "ready", 1],
    [3, "lower", 1],
    [4, "lower", 2],
  ]);
  assert.equal(beats.at(-1).at, COUNT_IN + 6 * 5);
  assert.equal(beats.at(-1).phase, "end");
  assert.ok(beats.every((one, i) => one.at === i));
  assert.equal(beats.filter((one) => one.isFirst && one.phase === "lift").length, 6);
});

test("without a number of repetitions it ends all the same", () => {
  const beats = beatsOf(phasesOf(parseTempo("1010")), Infinity);
  assert.equal(beats.at(-1).at, COUNT_IN + 100 * 2);
  assert.equal(beats.at(-1).rep, 100);
});

test("the beat of a moment is the last one that began", () => {
  const beats = beatsOf(phasesOf(parseTempo("3-1-X-0")), 1);
  assert.equal(beatAt(beats, -0.1), null);
  assert.deepEqual([beatAt(beats, 4.99).phase, beatAt(beats, 4.99).count], ["lower", 2]);
  assert.equal(beatAt(beats, 7.5).isFast, true);
  assert.equal(beatAt(beats, 999).phase, "end");
});

test("each phase has a pitch of its own, its beginning an accent", () => {
  const beats = beatsOf(phasesOf(parseTempo("2-2-2-2")), 1).filter((one) => one.rep === 1 && one.phase !== "end");
  const begins = beats.filter((one) => one.isFirst).map(voiceOf);
  assert.equal(new Set(begins.map((one) => one.pitch)).size, 4);
  for (const [i, beat] of beats.entries()) {
    if (beat.isFirst) assert.ok(voiceOf(beat).level > voiceOf(beats[i + 1]).level);
  }
});

test("the words are the ones of the exercise page", () => {
  assert.deepEqual(["lower", "pause", "lift", "hold"].map((phase) => wordsOf({ phase })), ["lower", "pause", "lift", "hold"]);
  assert.equal(wordsOf({ phase: "lift", isFast: true }), "lift fast");
});
