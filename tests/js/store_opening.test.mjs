/* A page that opens the outbox while tidying it up fails: what is unsent is seen and kept all the same. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { MemoryOutbox } from "../../static/js/phone/outbox_memory.js";
import { Outbox } from "../../static/js/phone/outbox.js";

globalThis.document = {
  visibilityState: "hidden",
  getElementById: () => ({ textContent: JSON.stringify({ user: 1, client: 3 }) }),
  addEventListener: () => {},
};
globalThis.window = { addEventListener: () => {} };
Object.defineProperty(globalThis, "navigator", {
  value: { onLine: false, locks: { request: () => new Promise(() => {}) } },
  configurable: true,
});

test("unsent entries are shown though letting go of old ones failed", async () => {
  const disk = new MemoryOutbox();
  disk.forgetKept = async () => {
    throw new Error("the disk is full");
  };
  await disk.put({ uid: "a", user: 1, client: 3, revision: 1, url: "/sync/", body: { kind: "weight", kg: 70 } });
  Outbox.open = async () => disk;
  const { store, opened } = await import("../../static/js/phone/store.js");
  await opened;
  assert.deepEqual([store.keeps, store.entries.map((one) => one.uid)], [true, ["a"]]);
});
