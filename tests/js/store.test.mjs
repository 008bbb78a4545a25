/* What a page sees of the outbox: its own client's entries. */
import assert from "node:assert/strict";
import { test } from "node:test";

const DATA = { user: 1, client: 3, today_url: "/today/", sync_url: "/sync/" };
globalThis.document = {
  cookie: "",
  visibilityState: "hidden",
  getElementById: (id) => (id === "phone-data" ? { textContent: JSON.stringify(DATA) } : null),
  addEventListener: () => {},
};
globalThis.window = { addEventListener: () => {} };
globalThis.localStorage = undefined;
Object.defineProperty(globalThis, "navigator", {
  value: { onLine: false, locks: { request: () => new Promise(() => {}) } },
  configurable: true,
});

const { store, opened } = await import("../../static/js/phone/store.js");
await opened;

const entry = (uid, client, refused = "") => ({
  uid, client, refused, user: 1, revision: 1, url: `/clients/${client}/sync/`, body: { kind: "weight", kg: 70 },
});

test("a coach's page tells only what is unsent of the client it shows; the sender holds all", async () => {
  await store.outbox.put(entry("ida", 5));
  await store.refresh();
  assert.deepEqual([store.mine.length, store.entries.length, store.situation], [0, 1, ""]);
  await store.outbox.put(entry("joel", 3));
  await store.refresh();
  assert.deepEqual([store.mine.map((one) => one.uid), store.situation], [["joel"], "offline"]);
});

test("whoever asks to send now has refused entries tried again", async () => {
  await store.outbox.refuse("joel", 1, "Load: too much");
  await store.refresh();
  assert.equal(store.mine[0].refused, "Load: too much");
  store.sendNow();
  await new Promise((resolve) => setTimeout(resolve, 10));
  assert.equal(store.mine[0].refused, "");
});
