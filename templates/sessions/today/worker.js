/* Opens Today without a network. Only the install step writes the shell; what is handed in is never touched. */
const { version, files, home, offline, extras, days, patience } = {{ facts|safe }};
const SHELL = `blockwright-shell-${version}`;
const PAGES = `blockwright-pages-${version}`;

const two = (number) => String(number).padStart(2, "0");

/* By the phone's own calendar: without a network there is no other. */
function pageOf(ahead) {
  const on = new Date();
  on.setDate(on.getDate() + ahead);
  return `${home}?day=${on.getFullYear()}-${two(on.getMonth() + 1)}-${two(on.getDate())}`;
}

/* Keep today and the days to come; true when all were there. Nobody signed in: what is kept stays. */
async function keepPages(more = []) {
  const cache = await caches.open(PAGES);
  const wanted = [...Array.from({ length: days + 1 }, (_, ahead) => pageOf(ahead)), ...extras, ...more];
  for (const url of wanted) {
    /* Today as it stands, with a session that runs; under its day, to be found by it. */
    const answer = await fetch(url === pageOf(0) ? home : url, { redirect: "manual", cache: "no-store" });
    if (answer.ok) await cache.put(url, answer);
    else if (answer.status !== 404) return false;
  }
  for (const { url } of await cache.keys()) {
    if (!wanted.includes(url.slice(location.origin.length))) await cache.delete(url);
  }
  return true;
}

async function keptPage({ pathname, search, searchParams }) {
  const cache = await caches.open(PAGES);
  const isToday = pathname === home && !searchParams.has("session");
  return cache.match(isToday ? pageOf(0) : pathname + search);
}

/* The network first; when it takes too long or fails, what is kept; else the plain page. */
async function page(request) {
  const network = fetch(request);
  const wait = new Promise((resolve) => setTimeout(resolve, patience, null));
  const soon = await Promise.race([network.catch(() => null), wait]);
  if (soon && soon.status < 500) return soon;
  const kept = await keptPage(new URL(request.url));
  if (kept) return kept;
  return request.mode === "navigate" ? network.catch(() => caches.match(offline)) : network;
}

const shell = async (request) => (await caches.match(request, { cacheName: SHELL, ignoreVary: true })) ?? fetch(request);

async function install() {
  const cache = await caches.open(SHELL);
  await cache.addAll([...files, offline]);
  /* Pages of the version before ask for its files: they are replaced together, or not at all. */
  const isUsed = (await caches.keys()).some((name) => name.startsWith("blockwright-pages-"));
  if (isUsed && !(await keepPages())) throw new Error("The pages did not come; the version before stays.");
  await self.skipWaiting();
}

async function activate() {
  const old = (name) => name.startsWith("blockwright-") && ![SHELL, PAGES].includes(name);
  await Promise.all((await caches.keys()).filter(old).map((name) => caches.delete(name)));
  await self.clients.claim();
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
/* A page of another version asks for files that are not here: it waits for the worker of its own. */
self.addEventListener("message", (event) => {
  const [{ keep, needs = [] }, tell] = [event.data, (done) => event.ports[0]?.postMessage(done && version)];
  const kept = needs.every((one) => files.includes(one)) ? keepPages(keep) : Promise.resolve(false);
  event.waitUntil(kept.then(tell, () => tell(false)));
});
self.addEventListener("fetch", (event) => {
  const { method, mode, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== location.origin) return;
  if (files.includes(pathname)) event.respondWith(shell(event.request));
  else if (extras.includes(pathname) || (mode === "navigate" && pathname.startsWith(home))) event.respondWith(page(event.request));
});
