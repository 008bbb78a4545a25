/* When kept pages are asked for anew. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { AFTER_LOG, AT_LATEST, isDue } from "../../static/js/phone/kept_pages.js";

const KEPT = { plan: "4", log: "7", at: 1000 };
const due = (mark, now) => isDue(KEPT, { plan: "4", log: "7", ...mark }, now);

test("kept pages are fetched anew at once for a new plan, later for a new log, and now and then anyway", () => {
  assert.ok(isDue(null, { plan: "4", log: "7" }, 1000));
  assert.ok(due({ plan: "5" }, 1001));
  assert.ok(!due({ log: "8" }, 1000 + AFTER_LOG - 1));
  assert.ok(due({ log: "8" }, 1000 + AFTER_LOG));
  assert.ok(!due({}, 1000 + AT_LATEST - 1));
  assert.ok(due({}, 1000 + AT_LATEST));
  assert.ok(due({}, 999), "a clock that was put back");
});
