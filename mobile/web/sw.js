// Keeps one whole, hash-checked copy of the site on the device and serves it from there. A newer build
// is fetched beside it, all or nothing, and takes over only when the page says so.
"use strict";

const BUILD = "{{build}}";
const scope = self.registration.scope;
// Several sites may share one origin, each under its own path and with its own copies.
const PREFIX = `nutwright ${new URL(scope).pathname} `;
const CACHE = PREFIX + BUILD;
const NOTES = PREFIX + "notes";
const { language, say } = sayingIn(self.navigator.language || "");

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  const { say: asked, ...facts } = event.data || {};
  if (asked === "apply") self.skipWaiting();
  if (asked in replies) event.waitUntil(reply(event.ports[0], replies[asked](facts)));
});

// What a page may ask, each answered on the port it sent along.
const replies = {
  booted: async ({ build }) => {
    if (build === BUILD) await dropEarlierCopies();
    // A browser short of space may have deleted the copy and kept this worker.
    const listing = await caches.match(new URL("precache.json", scope).href, { cacheName: CACHE });
    if (!listing) await install().catch(() => {});
    return { ok: true };
  },
  copies: async () => ({ build: BUILD, earlier: await earlierCopy(), gaveWay: await rolledBack() }),
  back: async ({ why }) => {
    const earlier = await earlierCopy();
    if (earlier) await rollBack(earlier, why);
    return { ok: Boolean(earlier) };
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

async function install() {
  const listing = await fetchChecked({ path: "precache.json" });
  const { build, files } = await listing.clone().json();
  try {
    if (build !== BUILD) throw new Error(`the list is of build ${build}, the worker of ${BUILD}`);
    const cache = await caches.open(CACHE);
    await inParallel(6, await forThisBrowser(files), (file) => store(cache, file));
    await cache.put(new URL("precache.json", scope).href, listing);
  } catch (error) {
    // An install that ran at the same time may have completed the copy: then it stays.
    const listed = await caches.match(new URL("precache.json", scope).href, { cacheName: CACHE });
    if (!listed) await caches.delete(CACHE);
    await broadcast({ say: "refused", why: String(error.message || error) });
    throw error;
  }
}

// The files without the build of the drawing engine that this browser does not use. Until the page has
// noted which one it uses, both are kept.
async function forThisBrowser(files) {
  const told = await (await caches.open(NOTES)).match(`${scope}engine`);
  const engine = told ? await told.text() : null;
  return files.filter((file) => !file.engine || !engine || file.engine === engine);
}

async function store(cache, file) {
  const url = new URL(file.path, scope).href;
  if (await cache.match(url)) return;
  const response = await fetchChecked(file);
  await cache.put(url, response);
}

// Fetches a file and checks its hash. The browser's HTTP cache may answer first; what has another hash
// is fetched again past every cache, and if that is wrong too the whole install is refused.
async function fetchChecked(file) {
  const url = new URL(file.path, scope).href;
  for (const cache of file.sha256 ? ["default", "reload"] : ["no-cache"]) {
    const response = await compressed(url, { cache, credentials: "same-origin" });
    if (!response.ok) continue;
    if (!file.sha256) return response;
    const bytes = await response.clone().arrayBuffer().catch(() => null);
    if (bytes && (await sha256(bytes)) === file.sha256) return ofType(file.type, response, bytes);
  }
  throw new Error(`${file.path} did not arrive as it was published`);
}

// A host that compresses what it sends compresses the archives too. From any other host the
// compressed copy beside each is fetched and decompressed here (worker.js does the same).
async function compressed(url, how) {
  const response = await fetch(url, how);
  if (!url.endsWith(".zip") || !response.ok) return response;
  if (response.headers.get("Content-Encoding")) return response;
  if (typeof DecompressionStream !== "function") return response;
  const copy = await fetch(`${url}.gz`, how).catch(() => null);
  if (!copy?.ok || copy.headers.get("Content-Type")?.startsWith("text/")) return response;
  response.body.cancel();
  if (copy.headers.get("Content-Encoding")) return copy;
  return new Response(copy.body.pipeThrough(new DecompressionStream("gzip")));
}

// The response itself, so that the browser can cache compiled code with it; a new one only where the
// host named a wrong type.
function ofType(type, response, bytes) {
  const essence = (text) => (text || "").split(";")[0].trim().toLowerCase();
  if (essence(response.headers.get("Content-Type")) === essence(type)) return response;
  return new Response(bytes, { headers: { "Content-Type": type } });
}

async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function inParallel(width, items, work) {
  const queue = items.slice();
  const lane = async () => {
    while (queue.length) await work(queue.shift());
  };
  await Promise.all(Array.from({ length: width }, lane));
}

async function answer(request) {
  const cache = await caches.open(await servingCache());
  const url = new URL(request.url);
  url.search = url.hash = "";
  const home = url.href === scope || url.href === scope + "index.html";
  const copy = await cache.match(home ? scope + "index.html" : url.href);
  if (copy) return copy;
  // Every screen lives at the scope's own address, so any other page in it leads there.
  if (request.mode === "navigate" && !home) return Response.redirect(scope, 302);
  if (request.mode === "navigate") return fetch(request).catch(nothingHere);
  return fetch(request);
}

// The page shown where the browser deleted the copy and there is no network, instead of the browser's
// own error page.
function nothingHere() {
  const title = say("The app is not on this device");
  const happened = say("The browser cleared away the copy of the app, and there is no network to fetch " +
    "it again. Records are kept apart from it; this page changed nothing.");
  const next = say("Connect to the network the app came from.");
  const page = `<!DOCTYPE html><html lang="${language}"><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>${title}</title>
<style>body{margin:0;padding:24px;background:#14110d;color:#f0e7d6;font:17px/1.5 system-ui,sans-serif}
a{color:#e0ae55;display:inline-block;padding:12px 0}</style>
<h1>${title}</h1><p>${happened}</p><p>${next}</p><a href="${scope}">${say("Try again")}</a></html>`;
  const headers = { "Content-Type": "text/html; charset=utf-8" };
  return new Response(page, { status: 503, headers });
}

// --- rolling back to the build before, when the new one does not start ----------------------------

let chosen = null;

// The name of the cache that answers: this build's, or that of the one before after a rollback.
async function servingCache() {
  if (chosen === null) {
    const noted = await rolledBack();
    chosen = noted && (await caches.has(noted.to)) ? noted.to : CACHE;
  }
  return chosen;
}

// To which cache this build was rolled back, and why: `{to, why}`; null where it was not.
async function rolledBack() {
  const noted = await (await caches.open(NOTES)).match(scope + BUILD);
  return noted ? noted.json() : null;
}

async function rollBack(to, why) {
  await (await caches.open(NOTES)).put(scope + BUILD, new Response(JSON.stringify({ to, why })));
  chosen = to;
}

async function endRollback() {
  await (await caches.open(NOTES)).delete(scope + BUILD);
  chosen = CACHE;
}

async function earlierCopy() {
  const names = await caches.keys();
  return names.find((name) => name.startsWith(PREFIX) && name !== CACHE && name !== NOTES) || null;
}

// Deletes the copies of earlier builds once this one runs, but none while a newer build is waiting.
async function dropEarlierCopies() {
  if (self.registration.waiting || self.registration.installing) return;
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== CACHE && name !== NOTES) await caches.delete(name);
  }
  await endRollback();
}

// --- a damaged copy ---------------------------------------------------------------------------

async function mend() {
  const cache = await caches.open(CACHE);
  const { files } = await (await cache.match(new URL("precache.json", scope).href)).json();
  await inParallel(4, await forThisBrowser(files), async (file) => {
    const url = new URL(file.path, scope).href;
    const copy = await cache.match(url);
    const whole = copy && (await sha256(await copy.arrayBuffer())) === file.sha256;
    if (!whole) await cache.put(url, await fetchChecked(file));
  });
  return { ok: true };
}

async function broadcast(message) {
  const clients = await self.clients.matchAll({ includeUncontrolled: true });
  clients.forEach((client) => client.postMessage(message));
}
