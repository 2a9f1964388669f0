// Keeps one whole copy of the site on the device and serves it from there, each file only once its hash
// was found to be the one published. A newer build is fetched beside it, all or nothing, and takes over
// only when the page says so. What is verified when, and what no page can prevent: assets/docs/site.md.
"use strict";

const BUILD = "{{build}}";
// Named anew each time an operator has the host back after it was in other hands; else empty.
const RECOVERY = "{{recovery}}";
// Every file of this build, and the digests of the builds that it may give way to. Nothing that lies in
// the browser's storage can change these: they are in the worker itself.
const FILES = {{files}};
const EARLIER = {{earlier}};
const scope = self.registration.scope;
// Several sites may share one origin, each under its own path and with its own copies.
const PREFIX = `nutwright ${new URL(scope).pathname} `;
const CACHE = PREFIX + BUILD;
const NOTES = PREFIX + "notes";
const LISTING = new URL("precache.json", scope).href;
const { language, say } = sayingIn(self.navigator.language || "");

// A copy is a cache and the files that it must hold, by path; `sound` are the checks of this start.
const copyOf = (build, files) => ({
  build,
  name: PREFIX + build,
  files: new Map(files.map((file) => [file.path, file])),
  sound: new Map(),
});
const own = copyOf(BUILD, FILES);
// What was found in a copy that was not as it was published.
const altered = new Set();
// Of a reason that was noted so much is told.
const WHY_LENGTH = 300;

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));

self.addEventListener("message", (event) => {
  const { say: asked, ...facts } = event.data || {};
  if (asked === "apply") self.skipWaiting();
  if (Object.hasOwn(replies, asked)) {
    event.waitUntil(reply(event.ports[0], replies[asked](facts)));
  }
  if (asked === "booted") event.waitUntil(lookThrough());
});

// What a page may ask, each answered on the port it sent along.
const replies = {
  booted: async ({ build }) => {
    await tidy(build === BUILD);
    // A browser short of space may have deleted the copy and kept this worker.
    if (!await caches.match(LISTING, { cacheName: CACHE })) await install().catch(() => {});
    return { ok: true };
  },
  copies: async () => ({
    build: BUILD,
    earlier: (await earlierCopy())?.name || null,
    gaveWay: await rolledBack(),
    altered: [...altered],
  }),
  back: async ({ why }) => {
    const earlier = await earlierCopy();
    const whole = Boolean(earlier) && await isWhole(earlier);
    if (whole) await rollBack(earlier, why);
    return { ok: whole };
  },
  again: async () => {
    await endRollback();
    return { ok: true };
  },
  mend: () => mend(),
};

async function reply(port, answer) {
  const said = await answer.catch((error) => ({ ok: false, why: String(error.message || error) }));
  if (port) port.postMessage(said);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(scope)) return;
  event.respondWith(answer(request));
});

// --- taking in this build ---------------------------------------------------------------------

async function install() {
  // Under part of a name, such as another host may have set up, there is no site.
  if (!scope.endsWith("/")) throw new Error(`${scope} is no folder`);
  try {
    const anew = await mustClear();
    await inParallel(6, await forThisBrowser(FILES), (file) => sound(own, file));
    if (anew) await renewPages();
    await (await caches.open(CACHE)).put(LISTING, listing(own));
    if (anew) self.skipWaiting();
  } catch (error) {
    // An install that ran at the same time may have completed the copy: then it stays.
    const listed = await caches.match(LISTING, { cacheName: CACHE });
    if (!listed) await caches.delete(CACHE);
    own.sound.clear();
    await broadcast({ say: "refused", why: String(error.message || error) });
    throw error;
  }
}

// The list of a copy, as it was published with it.
function listing({ build, files }) {
  const headers = { "Content-Type": "application/json; charset=utf-8" };
  return new Response(JSON.stringify({ build, files: [...files.values()] }, null, 1), { headers });
}

// The files without the build of the drawing engine that this browser does not use. Until the page has
// noted which one it uses, both are kept.
async function forThisBrowser(files) {
  const told = await (await caches.open(NOTES)).match(`${scope}engine`);
  const engine = told ? await told.text() : null;
  const known = files.some((file) => file.engine === engine);
  return files.filter((file) => !file.engine || !known || file.engine === engine);
}

// --- after the host was in other hands --------------------------------------------------------

// Whether this device has yet to be rid of what another worker may have left.
async function mustClear() {
  if (!RECOVERY) return false;
  const told = await (await caches.open(NOTES)).match(`${scope}recovery`);
  return !told || (await told.text()) !== RECOVERY;
}

// What the browser itself may still hold under the addresses of pages is fetched over.
async function renewPages() {
  const pages = [scope, new URL("worker.js?first", scope).href];
  await inParallel(2, pages, async (url) => {
    await unlessSilent(async (signal) => {
      const how = { cache: "reload", credentials: "same-origin", signal };
      return bytesOf(await fetch(url, how));
    });
  });
}

// Deletes every copy and note but this build's, and has the pages of the worker before load anew. Copies
// of a neighbour under another path stay: its own worker verifies them. Records are stored elsewhere.
async function activate() {
  const anew = await mustClear();
  const pages = anew ? await self.clients.matchAll({ type: "window" }) : [];
  if (anew) await clearAll();
  await self.clients.claim();
  // Not waited for: they are answered once this worker is active. One that closes meanwhile is gone.
  pages.forEach((page) => page.navigate(page.url).catch(() => {}));
}

async function clearAll() {
  const neighbours = (name) => name.startsWith("nutwright /") && !name.startsWith(PREFIX);
  for (const name of await caches.keys()) {
    if (name !== CACHE && !neighbours(name)) await caches.delete(name);
  }
  await (await caches.open(NOTES)).put(`${scope}recovery`, new Response(RECOVERY));
}

// --- verifying --------------------------------------------------------------------------------

// Settles once the file in this copy is what was published; where it is not it is fetched anew. Each
// start asks once for each file.
function sound(copy, file) {
  if (!copy.sound.has(file.path)) {
    const found = verified(copy, file);
    copy.sound.set(file.path, found);
    found.catch(() => copy.sound.delete(file.path));
  }
  return copy.sound.get(file.path);
}

async function verified(copy, file) {
  const url = new URL(file.path, scope).href;
  const cache = await caches.open(copy.name);
  const kept = await cache.match(url);
  if (kept && await asPublished(kept, file)) return;
  if (kept) {
    altered.add(file.path);
    await cache.delete(url);
  }
  await cache.put(url, await fetchChecked(file));
}

async function asPublished(kept, { type, sha256: wanted }) {
  if (kept.status !== 200 || kept.redirected || !isOfType(type, kept)) return false;
  return (await sha256(await kept.arrayBuffer())) === wanted;
}

// Looks through what no start asks for, once the app runs.
async function lookThrough() {
  const cache = await caches.open(CACHE);
  for (const { url } of await cache.keys()) {
    if (url !== LISTING && !own.files.has(pathOf(url))) await cache.delete(url);
  }
  const files = await forThisBrowser(FILES);
  await inParallel(2, files, (file) => sound(own, file).catch(() => {})); // told when it is asked for
}

// Whether every file of the copy of an earlier build is as it was published; none can be fetched anew.
async function isWhole({ name, files }) {
  const cache = await caches.open(name);
  const wanted = await forThisBrowser([...files.values()]);
  const found = await Promise.all(wanted.map(async (file) => {
    const kept = await cache.match(new URL(file.path, scope).href);
    return Boolean(kept) && asPublished(kept, file);
  }));
  return found.every(Boolean);
}

function isOfType(type, response) {
  const essence = (text) => (text || "").split(";")[0].trim().toLowerCase();
  return essence(response.headers.get("Content-Type")) === essence(type);
}

async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// Works through the items side by side. Where one fails no more are begun, and what is under way ends
// before that is told: whoever tidies up after it is the last.
async function inParallel(width, items, work) {
  const queue = items.slice();
  const lane = async () => {
    while (queue.length) await work(queue.shift());
  };
  const lanes = Array.from({ length: width }, () => lane().catch((error) => {
    queue.length = 0;
    throw error;
  }));
  await Promise.allSettled(lanes);
  await Promise.all(lanes);
}

// --- answering --------------------------------------------------------------------------------

const pathOf = (url) => {
  const { origin, pathname } = new URL(url);
  return (origin + pathname).slice(scope.length) || "index.html";
};

async function answer(request) {
  const path = pathOf(request.url);
  const goesHome = request.mode === "navigate";
  // Every screen lives at the scope's own address, so any other page in it leads there.
  if (goesHome && path !== "index.html") return Response.redirect(scope, 302);
  const copy = await servingCopy();
  if (goesHome) copy.sound.clear();
  if (path === "precache.json") return listing(copy);
  const file = copy.files.get(path);
  if (!file) return fetch(request);
  try {
    await sound(copy, file);
  } catch (error) {
    if (error.name === "QuotaExceededError") return fetchChecked(file);
    console.error(error);
    return goesHome ? notServed(copy, request) : Response.error();
  }
  return served(copy, file);
}

// The copy itself where the browser caches compiled code with it; of all else only the bytes, without
// whatever a host may have written into its headers.
async function served(copy, { path, type }) {
  const kept = await caches.match(new URL(path, scope).href, { cacheName: copy.name });
  if (!kept) return fetchChecked(copy.files.get(path)); // deleted this moment
  if (/\.(m?js|wasm)$/.test(path)) return kept;
  return new Response(kept.body, { headers: { "Content-Type": type } });
}

async function notServed(copy, request) {
  if (copy !== own) { // what is kept of the earlier build is of no more use
    await endRollback();
    await caches.delete(copy.name);
    return answer(request);
  }
  return nothingHere(await newerComes().catch(() => false));
}

// Where neither the device nor the host has this build any more, a newer one takes over at once.
async function newerComes() {
  await self.registration.update();
  const next = self.registration.waiting || self.registration.installing;
  if (next) next.postMessage({ say: "apply" });
  return Boolean(next);
}

// The page shown where the copy cannot be used, instead of the browser's own error page.
function nothingHere(comes) {
  const found = altered.has("index.html");
  const title = found ? say("The copy of the app on this device was altered")
    : say("The app is not on this device");
  const happened = found
    ? say("What is kept here is not what was published, so it was not run. Records are kept apart " +
      "from it; this page changed nothing.")
    : say("The browser cleared away the copy of the app, and there is no network to fetch it again. " +
      "Records are kept apart from it; this page changed nothing.");
  const next = comes ? say("A newer version is being fetched.")
    : say("Connect to the network the app came from.");
  const again = comes ? '<meta http-equiv="refresh" content="3">' : "";
  const page = `<!DOCTYPE html><html lang="${language}"><meta charset="utf-8">${again}
<meta name="viewport" content="width=device-width, initial-scale=1"><title>${title}</title>
<style>body{margin:0;padding:24px;background:#14110d;color:#f0e7d6;font:17px/1.5 system-ui,sans-serif}
a{color:#e0ae55;display:inline-block;padding:12px 0}</style>
<h1>${title}</h1><p>${happened}</p><p>${next}</p><a href="${scope}">${say("Try again")}</a></html>`;
  const headers = { "Content-Type": "text/html; charset=utf-8" };
  return new Response(page, { status: 503, headers });
}

// --- a damaged copy ---------------------------------------------------------------------------

async function mend() {
  own.sound.clear();
  try {
    await inParallel(4, await forThisBrowser(FILES), (file) => sound(own, file));
  } catch (error) {
    await newerComes().catch(() => {}); // without a network there is none
    throw error;
  }
  return { ok: true };
}

async function broadcast(message) {
  const clients = await self.clients.matchAll({ includeUncontrolled: true });
  clients.forEach((client) => client.postMessage(message));
}
