/* When kept pages are asked for anew. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { AFTER_LOG, AT_LATEST, isDue, isThere } from "../../static/js/phone/kept_pages.js";

const KEPT = { plan: "4", log: "7", at: 1000, version: "r1" };
const NAMES = ["blockwright-shell-r1", "blockwright-pages-r1"];
const due = (mark, now) => isDue(KEPT, { plan: "4", log: "7", ...mark }, now, NAMES);

test("kept pages are fetched anew at once for a new plan, later for a new log, and now and then anyway", () => {
  assert.ok(isDue(null, { plan: "4", log: "7" }, 1000, NAMES));
  assert.ok(due({ plan: "5" }, 1001));
  assert.ok(!due({ log: "8" }, 1000 + AFTER_LOG - 1));
  assert.ok(due({ log: "8" }, 1000 + AFTER_LOG));
  assert.ok(!due({}, 1000 + AT_LATEST - 1));
  assert.ok(due({}, 1000 + AT_LATEST));
  assert.ok(due({}, 999), "a clock that was put back");
});

test("pages that a new release or a full phone took away are fetched anew, and nothing claims that they are there", () => {
  const mark = { plan: "4", log: "7" };
  for (const names of [[], ["blockwright-pages-r2"], ["blockwright-shell-r1"]]) {
    assert.ok(isDue(KEPT, mark, 1001, names));
    assert.ok(!isThere(KEPT, names));
  }
  assert.ok(isDue({ ...KEPT, version: undefined }, mark, 1001, NAMES), "kept by a page that named no version");
  assert.ok(isThere(KEPT, NAMES) && !isThere(null, NAMES));
});
