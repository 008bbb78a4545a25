/* A phone whose storage is slow: taps and what is said of a set come one after another. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { InTurn } from "../../static/js/phone/in_turn.js";

const slow = () => new Promise((resolve) => setTimeout(resolve, 20));

test("a second tap while the first is still being kept logs nothing", async () => {
  const [turn, kept] = [new InTurn(), []];
  const tap = (name) => turn.once(async () => {
    await slow();
    kept.push(name);
  });
  await Promise.all([tap("first"), tap("second")]);
  await tap("third");
  assert.deepEqual(kept, ["first", "third"]);
});

test("what is said of a set starts from what was said before, however long that took", async () => {
  const turn = new InTurn();
  let kept = { rir: null, pain: null };
  const say = (changes) => turn.after(async () => {
    const next = { ...kept, ...changes };
    await slow();
    kept = next;
  });
  await Promise.all([say({ rir: 2 }), say({ pain: 4 })]);
  assert.deepEqual(kept, { rir: 2, pain: 4 });
});

test("what could not be kept is told, and holds up nothing", async () => {
  const turn = new InTurn();
  const full = async () => {
    throw new Error("full");
  };
  await assert.rejects(turn.once(full), /full/);
  let isKept = false;
  await turn.once(async () => {
    isKept = true;
  });
  assert.ok(isKept);
});
