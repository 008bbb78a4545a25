/* How entries are handed in: what a foreign answer, a stalled one, or one to a closed address does to them. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { MemoryOutbox } from "../../static/js/phone/outbox_memory.js";
import { Sender } from "../../static/js/phone/sender.js";

globalThis.document = { cookie: "csrftoken=t" };
Object.defineProperty(globalThis, "navigator", {
  value: { locks: { request: (_name, work) => work() } },
  configurable: true,
});

const entry = (uid, url = "/sync/") => ({ uid, url, user: 1, client: 3, revision: 1, body: { kind: "set" } });

async function outboxWith(...entries) {
  const outbox = new MemoryOutbox();
  for (const one of entries) await outbox.put(one);
  return outbox;
}

const answer = (status, body) => ({ status, ok: status < 300, json: async () => body });
const receipt = (options) => answer(200, { uid: JSON.parse(options.body).uid, revision: 1 });
const left = async (outbox) => (await outbox.all(1)).entries.map(({ uid, refused }) => [uid, refused]);

test("an answer that stalls after its head ends with the patience, and the rest is sent later", async (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const outbox = await outboxWith(entry("a"));
  globalThis.fetch = async (_url, { signal }) => ({
    status: 200,
    ok: true,
    json: () => new Promise((_resolve, reject) => signal.addEventListener("abort", () => reject(new Error("aborted")))),
  });
  const sender = new Sender(outbox, 1, "/today/");
  const sent = sender.flush();
  await new Promise((resolve) => setImmediate(resolve));
  t.mock.timers.tick(10_000);
  const first = await Promise.race([sent.then(() => "over"), new Promise((resolve) => setImmediate(resolve, "stuck"))]);
  assert.equal(first, "over");
  assert.deepEqual([sender.state, await left(outbox)], ["waiting", [["a", ""]]]);

  globalThis.fetch = async (_url, options) => receipt(options);
  await sender.flush();
  assert.deepEqual([sender.state, await left(outbox)], ["idle", []]);
});

test("a foreign 404 marks nothing as refused, and holds up only what goes to the same address", async (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const outbox = await outboxWith(entry("a", "/one/"), entry("b", "/one/"), entry("c", "/two/"));
  const asked = [];
  globalThis.fetch = async (url, options) => {
    asked.push(JSON.parse(options.body).uid);
    return url === "/one/" ? answer(404, null) : receipt(options);
  };
  const sender = new Sender(outbox, 1, "/today/");
  await sender.flush();
  assert.deepEqual(asked, ["a", "c"]);
  assert.deepEqual([sender.state, await left(outbox)], ["waiting", [["a", ""], ["b", ""]]]);

  globalThis.fetch = async (_url, options) => receipt(options);
  await sender.flush();
  assert.deepEqual([sender.state, await left(outbox)], ["idle", []]);
});

test("an answer of the server that names the entry refuses it, and the next one is sent", async () => {
  const outbox = await outboxWith(entry("a"), entry("b"));
  globalThis.fetch = async (_url, options) => {
    const { uid } = JSON.parse(options.body);
    return uid === "a" ? answer(422, { uid, error: "Load: too much" }) : receipt(options);
  };
  await new Sender(outbox, 1, "/today/").flush();
  assert.deepEqual(await left(outbox), [["a", "Load: too much"]]);
});
