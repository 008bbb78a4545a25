/* Which answer to a note stands: the page's, one that arrived since, or one that is unsent. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { word } from "../../static/js/phone/entries.js";
import { entryWords } from "../../static/js/phone/unsent_words.js";
import { answerNow, answerWords } from "../../static/js/phone/word_state.js";

const WEEK = "2026-03-02";
const SAID = { uid: "a", revision: 1, week: WEEK, text: "Slept well.", done_at: "2026-03-09T08:00:00Z", removed: false, seen: "" };
const NONE = { entries: [], kept: [] };
const entry = (changes, revision = 2) => ({ uid: "a", revision, body: { kind: "word", ...SAID, ...changes } });

test("the page's answer stands until something newer was said here", () => {
  assert.equal(answerNow({ word: SAID }, WEEK, NONE).text, "Slept well.");
  assert.equal(answerNow({ word: SAID }, WEEK, { ...NONE, entries: [entry({ text: "Slept badly." })] }).text, "Slept badly.");
  assert.equal(answerNow({ word: SAID }, WEEK, { ...NONE, kept: [entry({ text: "Older." }, 1)] }).text, "Slept well.");
});

test("an answer to another week's note, or one that was taken back, is none", () => {
  assert.equal(answerNow({ word: SAID }, "2026-03-09", NONE), null);
  assert.equal(answerNow({ word: null }, WEEK, { ...NONE, kept: [entry({ week: "2026-02-02" })] }), null);
  assert.equal(answerNow({ word: SAID }, WEEK, { ...NONE, entries: [entry({ removed: true, text: "" })] }), null);
});

test("a page that was kept before the answer arrived shows it all the same", () => {
  assert.equal(answerNow({ word: null }, WEEK, { ...NONE, kept: [entry({})] }).text, "Slept well.");
});

test("it is told where the answer is", () => {
  const here = answerNow({ word: null }, WEEK, { ...NONE, entries: [entry({})] });
  assert.equal(answerWords(here), "You: “Slept well.” · saved here, not with your coach yet");
  assert.equal(answerWords(SAID), "You: “Slept well.” · with your coach");
  assert.equal(answerWords({ ...SAID, seen: "Mon 9 Mar 19:00" }), "You: “Slept well.” · read Mon 9 Mar 19:00");
});

test("a better wording keeps the id and counts on; it has words of its own", () => {
  const first = word(null, { week: WEEK, text: "Fine.", removed: false }, 0);
  const next = word({ uid: first.uid, revision: 1 }, { week: WEEK, text: "", removed: true }, 0);
  assert.deepEqual([first.revision, next.uid, next.revision], [1, first.uid, 2]);
  assert.equal(first.body.done_at, "1970-01-01T00:00:00.000Z");
  assert.equal(entryWords(first.body, []), "Your word to the coach: “Fine.”");
  assert.equal(entryWords(next.body, []), "Your word to the coach: taken back");
});
