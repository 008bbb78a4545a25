/* What an answer means, when to try again, and ids that work over plain http. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { FIRST_WAIT, LONGEST_WAIT, cookieValue, isClosed, nextToSend, verdict, waitFor } from "../../static/js/phone/sending.js";
import { makeUid } from "../../static/js/phone/uid.js";

const OWN = { uid: "a", error: "Load: too much" };

test("only a success lets an entry go", () => {
  const words = { 200: "kept", 401: "signed-out", 403: "token", 409: "signed-out", 422: "refused" };
  for (const [status, word] of Object.entries(words)) assert.equal(verdict(Number(status), OWN, "a"), word, status);
  assert.equal(verdict(200, { uid: "b" }, "a"), "retry");
});

test("an entry is refused only by an answer that speaks of it", () => {
  for (const status of [400, 404, 405, 410, 413, 414, 431, 451]) assert.equal(verdict(status, OWN, "a"), "retry", status);
  for (const body of [null, {}, { uid: "b", error: "no" }]) assert.equal(verdict(422, body, "a"), "retry");
  assert.equal(verdict(400, { uid: null, error: "This is no entry of a phone." }, "a"), "refused");
});

test("trouble of the server or on the way is tried again", () => {
  for (const status of [0, 302, 408, 429, 500, 502, 503]) assert.equal(verdict(status, null, "a"), "retry", status);
});

test("waits double, never end, and differ from phone to phone", () => {
  assert.deepEqual([1, 2, 3].map((attempt) => waitFor(attempt, 0)), [FIRST_WAIT, 2 * FIRST_WAIT, 4 * FIRST_WAIT]);
  assert.equal(waitFor(50, 0), LONGEST_WAIT);
  assert.equal(waitFor(1, 1), FIRST_WAIT * 1.25);
});

test("the oldest entry goes first, and a refused one does not hold up the rest", () => {
  const entries = [{ key: 3 }, { key: 1, refused: "Load: too much" }, { key: 2 }];
  assert.equal(nextToSend(entries).key, 2);
  assert.equal(nextToSend([entries[1]]), null);
});

test("what goes to a closed address waits, what goes elsewhere does not", () => {
  const entries = [{ key: 1, url: "/clients/1/sync/" }, { key: 2, url: "/clients/2/sync/" }];
  assert.equal(nextToSend(entries, new Set(["/clients/1/sync/"])).key, 2);
  assert.deepEqual([404, 410, 422].map(isClosed), [true, true, true]);
  assert.deepEqual([0, 200, 408, 429, 500].map(isClosed), [false, false, false, false, false]);
});

test("a cookie is found by its whole name", () => {
  assert.equal(cookieValue("xcsrftoken=no; csrftoken=a%3Db; theme=dark", "csrftoken"), "a=b");
  assert.equal(cookieValue("", "csrftoken"), "");
});

/* RFC 9562, appendix A.6, the worked example of a UUID of version 7 (copied from memory). */
const RFC_TIME = 0x017f22e279b0;
const RFC_RANDOM = [0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f];
const RFC_UID = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";

test("an id is a UUID of version 7", () => {
  assert.equal(makeUid(RFC_TIME, RFC_RANDOM), RFC_UID);
});

test("ids made later sort later", () => {
  assert.ok(makeUid(1000) < makeUid(2000));
});

test("no two ids are alike", () => {
  assert.equal(new Set(Array.from({ length: 1000 }, () => makeUid())).size, 1000);
});
