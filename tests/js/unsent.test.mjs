/* What is unsent, in words and as a file; what is known once it arrived; who may send. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { LEASE, mayTake } from "../../static/js/phone/one_sender.js";
import { asSent, keptOf, situation } from "../../static/js/phone/sending.js";
import { asFile, entryWords, lateWords, nameOf, ownOf } from "../../static/js/phone/unsent_words.js";

const LINE = { uid: "p", name: "Ring dip", measure: "reps", load_kind: "added", exercise: 4, swaps: [{ exercise: 9, name: "Push-up", measure: "reps", load_kind: "none" }] };
const BODY = { kind: "set", prescription: "p", exercise: 4, number: 2, amount: 6, load: 7.5, pain: null };
const ENTRY = { uid: "a", revision: 2, user: 1, client: 3, edit: "e", body: BODY, words: "Ring dip, set 2: 6 reps · +7.5 kg", refused: "" };

test("a set is told as a coach would write it", () => {
  assert.equal(entryWords(BODY, [LINE]), "Ring dip, set 2: 6 reps · +7.5 kg");
  assert.equal(entryWords({ ...BODY, exercise: 9, load: 0, pain: 3 }, [LINE]), "Push-up, set 2: 6 reps, pain 3 of 10");
  assert.equal(entryWords({ ...BODY, removed: true }, [LINE]), "Ring dip, set 2: taken back");
  assert.equal(nameOf(ENTRY, []), "Ring dip, set 2");
});

test("sessions, changes of a line and body weight have words too", () => {
  const session = { kind: "session", session_name: "Upper A", rpe: 7.5, skipped_reason: "", finished_at: "2026-03-11T10:00Z" };
  assert.equal(entryWords(session, []), "Upper A: finished, effort 7.5 of 10");
  assert.equal(entryWords({ ...session, skipped_reason: "ill" }, []), "Upper A: skipped, ill");
  assert.equal(entryWords({ kind: "line", prescription: "p", change: "skip", reason: "no bar" }, [LINE]), "Ring dip: left out, no bar");
  assert.equal(entryWords({ kind: "weight", kg: 66.4 }, []), "Body weight: 66.4 kg");
});

test("the file names every entry in words and as the server reads it", () => {
  const file = JSON.parse(asFile([ENTRY, { ...ENTRY, uid: "b", refused: "Load: too much" }], asSent, 0));
  assert.equal(file.made_at, "1970-01-01T00:00:00.000Z");
  assert.deepEqual(file.entries.map((one) => one.what), [ENTRY.words, ENTRY.words]);
  assert.equal(file.entries[1].not_accepted_because, "Load: too much");
  assert.deepEqual(file.entries[0].entry, { ...BODY, uid: "a", revision: 2, client: 3, edit: "e" });
});

test("an entry of an older page is sent without an edit", () => {
  assert.ok(!("edit" in asSent({ ...ENTRY, edit: undefined })));
});

test("what arrived is kept as the server says that it stands", () => {
  const plain = keptOf(ENTRY, { uid: "a", revision: 2 }, 5);
  assert.deepEqual(plain, { uid: "a", user: 1, client: 3, revision: 2, body: BODY, at: 5 });
  const other = keptOf(ENTRY, { uid: "a", revision: 4, now: { uid: "a", revision: 4, amount: 8, load: 0 } }, 5);
  assert.deepEqual([other.revision, other.body.amount, other.body.load, other.body.kind], [4, 8, 0, "set"]);
  assert.equal(keptOf(ENTRY, { uid: "a", revision: 3 }).revision, 3);
});

test("the most pressing reason is told, and none while all is on its way", () => {
  const now = (more) => situation({ entries: [ENTRY], state: "idle", isOnline: true, ...more });
  assert.equal(now({}), "");
  assert.equal(now({ entries: [], isOnline: false }), "");
  assert.equal(now({ isOnline: false, state: "waiting" }), "offline");
  assert.equal(now({ state: "waiting" }), "waiting");
  assert.equal(now({ state: "signed-out", isOnline: false }), "signed-out");
  assert.equal(now({ entries: [{ ...ENTRY, refused: "no" }] }), "refused");
});

test("a lease is taken when it is free, its own, or run out; one from a wrong clock holds nobody up", () => {
  assert.ok(mayTake(null, "me", 1000));
  assert.ok(mayTake(`me ${1000 + LEASE}`, "me", 1000));
  assert.ok(!mayTake(`other ${1000 + LEASE}`, "me", 1000));
  assert.ok(mayTake("other 999", "me", 1000));
  assert.ok(mayTake("nonsense", "me", 1000));
  assert.ok(mayTake(`other ${1000 + 3 * LEASE}`, "me", 1000));
});

test("without a sign-in only the entries of the account for which pages are kept are told", () => {
  const entries = [ENTRY, { ...ENTRY, uid: "b", user: 2 }];
  assert.deepEqual(ownOf(entries, { user: 1 }).map((one) => one.uid), ["a"]);
  assert.deepEqual(ownOf(entries, null), []);
});

test("a correction that came too late is told with what stands instead", () => {
  assert.equal(lateWords(ENTRY, { uid: "a", revision: 3 }, [LINE]), "");
  assert.equal(lateWords(ENTRY, { uid: "a", revision: 3, now: { amount: 6, load: 7.5 } }, [LINE]), "");
  const words = lateWords(ENTRY, { uid: "a", revision: 3, now: { amount: 8 } }, [LINE]);
  assert.match(words, /Entered here: Ring dip, set 2: 6 reps · \+7\.5 kg\. What stands: Ring dip, set 2: 8 reps · \+7\.5 kg\./);
});
