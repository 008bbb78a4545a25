/* A rest keeps its length whatever the phone's time is set to and however long the phone slept. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { SteadyClock, leftOf, lengthened } from "../../static/js/phone/steady_clock.js";

const T = 1_700_000_000_000;

function made() {
  const clocks = { wall: T, steady: 5000 };
  const clock = new SteadyClock(() => clocks.wall, () => clocks.steady);
  const pass = (wall, steady, wasAway = false) => {
    clocks.wall += wall;
    clocks.steady += steady;
    return (clock.read(wasAway) - T) / 1000;
  };
  return pass;
}

test("in sight it counts steadily", () => {
  const pass = made();
  assert.equal(pass(250, 250), 0.25);
  assert.equal(pass(60_000, 60_000), 60.25);
});

test("a time set back or forward in sight changes nothing", () => {
  const pass = made();
  pass(10_000, 10_000);
  assert.equal(pass(-3_600_000 + 250, 250), 10.25);
  assert.equal(pass(7_200_000 + 250, 250), 10.5);
  assert.equal(pass(1000, 1000), 11.5);
});

test("a phone that slept lost no time", () => {
  const pass = made();
  pass(10_000, 10_000);
  assert.equal(pass(90_000, 200, true), 100);
});

test("a tab that was away while the phone was awake lost none either", () => {
  const pass = made();
  assert.equal(pass(90_000, 90_000, true), 90);
});

test("a time set back while away changes nothing", () => {
  const pass = made();
  assert.equal(pass(-3_600_000, 45_000, true), 45);
});

test("what is left of a rest, longer by what was added", () => {
  assert.equal(leftOf({ since: T - 30_000, seconds: 90 }, T, T), 60);
  assert.equal(leftOf({ since: T - 30_000, seconds: 90, extra: 30 }, T, T + 10_000), 80);
});

test("a set that seems to lie ahead does not stretch its rest", () => {
  assert.equal(leftOf({ since: T + 3_600_000, seconds: 90 }, T, T + 10_000), 80);
});

test("half a minute more counts from now once the rest is over", () => {
  assert.equal(lengthened(20, 0, 30), 30);
  const rest = { since: T, seconds: 90, extra: 0 };
  const now = T + 130_000;
  const extra = lengthened(leftOf(rest, T, now), rest.extra, 30);
  assert.equal(leftOf({ ...rest, extra }, T, now), 30);
});
