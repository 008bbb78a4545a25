/* The day of the client, on a page that is older than today; and when such a page is fetched anew. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { bodyWeight } from "../../static/js/phone/entries.js";
import { dayNow, daysAfter } from "../../static/js/phone/local_day.js";
import { isChanged, isOutdated } from "../../static/js/phone/page_age.js";

const at = (text) => Date.parse(text);
const DATA = { today: "2026-03-11", zone: "Europe/Berlin" };

test("body weight on a page of the day before belongs to the day on which it is saved", () => {
  assert.equal(bodyWeight(DATA, 66.4, at("2026-03-12T06:00:00Z")).body.on, "2026-03-12");
  assert.equal(bodyWeight(DATA, 66.4, at("2026-03-11T22:59:00Z")).body.on, "2026-03-11");
  /* Berlin is an hour ahead of UTC in winter (IANA time zone database). */
  assert.equal(bodyWeight(DATA, 66.4, at("2026-03-11T23:01:00Z")).body.on, "2026-03-12");
});

test("the page's day holds where the phone's clock lies behind it; a zone nobody knows is the phone's own", () => {
  assert.equal(dayNow(DATA, at("2020-01-01T10:00:00Z")), "2026-03-11");
  assert.equal(dayNow({ today: "2026-03-11", zone: "Nowhere/None" }, at("2026-03-14T12:00:00Z")), "2026-03-14");
  assert.equal(dayNow({ today: "2026-03-11" }, at("2026-03-14T12:00:00Z")), "2026-03-14");
});

test("the days since the page was made, newest first, across a month", () => {
  assert.deepEqual(daysAfter("2026-02-27", "2026-03-01"), ["2026-03-01", "2026-02-28"]);
  assert.deepEqual(daysAfter("2026-03-01", "2026-03-01"), []);
  assert.equal(daysAfter("2020-01-01", "2026-03-01").length, 14);
});

const CLEAN = [
  { type: "number", value: "8", defaultValue: "8" },
  { type: "radio", name: "rir", checked: true, defaultChecked: false },
  { type: "radio", name: "rpe", checked: false, defaultChecked: false },
  { type: "select-one", options: [{ selected: true }, { selected: false }] },
];
const TYPED = [
  { type: "textarea", value: "knee", defaultValue: "" },
  { type: "radio", name: "rpe", checked: true, defaultChecked: false },
  { type: "select-one", options: [{ selected: false }, { selected: true }] },
];

test("a page of yesterday is fetched anew, but never from under what was typed, an open sheet or a session", () => {
  const now = at("2026-03-12T06:00:00Z");
  const page = { data: DATA, fields: CLEAN, isOpen: false, said: [{ done_at: "2026-03-11T18:00:00Z" }, {}] };
  assert.ok(isOutdated(page, now));
  assert.ok(!isOutdated(page, at("2026-03-11T20:00:00Z")));
  assert.ok(!isOutdated({ ...page, isOpen: true }, now));
  assert.ok(!isOutdated({ ...page, said: [{ done_at: "2026-03-12T04:00:00Z" }] }, now));
  for (const field of TYPED) assert.ok(isChanged(field) && !isOutdated({ ...page, fields: [...CLEAN, field] }, now));
});
