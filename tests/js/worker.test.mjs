/* The service worker of Today, with a network and caches that a test holds. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import vm from "node:vm";

const SOURCE = readFileSync(new URL("../../templates/sessions/today/worker.js", import.meta.url), "utf8");
const FACTS = {
  version: "r2", files: ["/static/app.r2.css"], home: "/today/", offline: "/today/offline/", extras: [], days: 1, patience: 10,
};

/* A phone that holds the pages of the release before; the network answers pages with a status. */
function phone(status) {
  const stored = new Map([["blockwright-shell-r1", new Map()], ["blockwright-pages-r1", new Map([["/today/", "old"]])]]);
  const caches = {
    keys: async () => [...stored.keys()],
    delete: async (name) => stored.delete(name),
    open: async (name) => {
      if (!stored.has(name)) stored.set(name, new Map());
      const held = stored.get(name);
      return {
        addAll: async (urls) => urls.forEach((url) => held.set(url, "file")),
        put: async (url, answer) => held.set(url, answer),
        keys: async () => [...held.keys()].map((url) => ({ url: `http://phone${url}` })),
        delete: async (url) => held.delete(url),
      };
    },
  };
  const heard = {};
  const self = {
    addEventListener: (name, act) => (heard[name] = act), skipWaiting: async () => {}, clients: { claim: async () => {} },
  };
  const fetch = async () => ({ ok: status === 200, status });
  vm.runInNewContext(SOURCE.replace("{{ facts|safe }}", JSON.stringify(FACTS)), {
    caches, fetch, self, location: { origin: "http://phone" }, URL, Promise, setTimeout, Array, Error,
  });
  const tell = (name, more = {}) => {
    let work;
    heard[name]({ ...more, waitUntil: (promise) => (work = promise) });
    return work;
  };
  return { stored, tell };
}

const asked = async ({ tell }, needs) => {
  let told;
  await tell("message", { data: { keep: [], needs }, ports: [{ postMessage: (done) => (told = done) }] });
  return told;
};

test("a release whose pages do not come leaves the one before, pages and all", async () => {
  for (const status of [503, 302, 401]) {
    const { stored, tell } = phone(status);
    await assert.rejects(tell("install"), undefined, String(status));
    assert.equal(stored.get("blockwright-pages-r1").get("/today/"), "old");
  }
});

test("a release whose pages come replaces them", async () => {
  const { stored, tell } = phone(200);
  await tell("install");
  await tell("activate");
  assert.deepEqual([...stored.keys()].sort(), ["blockwright-pages-r2", "blockwright-shell-r2"]);
  assert.equal(stored.get("blockwright-pages-r2").size, 2);
});

test("only pages whose files are here are kept, and the answer names the version", async () => {
  assert.equal(await asked(phone(200), ["/static/app.r2.css"]), "r2");
  assert.equal(await asked(phone(200), ["/static/app.r3.css"]), false);
  assert.equal(await asked(phone(503), []), false);
});
