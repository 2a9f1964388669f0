// Keeps one whole, hash-checked copy of the site on the device and serves it from there.
// A newer build is fetched beside it, all or nothing, and takes over only when the page says so.
"use strict";

const BUILD = "{{build}}";
const scope = self.registration.scope;
// Several sites may share one origin, each under its own path and with its own copies.
const PREFIX = `nutwright ${new URL(scope).pathname} `;
const CACHE = PREFIX + BUILD;
const NOTES = PREFIX + "notes";

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  const { say, ...told } = event.data || {};
  if (say === "apply") self.skipWaiting();
  if (say in replies) event.waitUntil(reply(event.ports[0], replies[say](told)));
});

// What a page may ask, each answered on the port it sent along.
const replies = {
  booted: async ({ build }) => {
    if (build === BUILD) await settle();
    // A browser short of room may have thrown the copy away and kept this worker.
    const listing = await caches.match(new URL("precache.json", scope).href, { cacheName: CACHE });
    if (!listing) await install().catch(() => {});
    return { ok: true };
  },
  copies: async () => ({ build: BUILD, earlier: await earlierCopy(), gaveWay: await gaveWay() }),
  back: async ({ why }) => {
    const earlier = await earlierCopy();
    if (earlier) await giveWay(earlier, why);
    return { ok: Boolean(earlier) };
  },
  again: async () => {
    await trustAgain();
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
  const listing = await take({ path: "precache.json" });
  const { build, files } = await listing.clone().json();
  try {
    if (build !== BUILD) throw new Error(`the list is of build ${build}, the worker of ${BUILD}`);
    const cache = await caches.open(CACHE);
    await inTurns(6, await taken(files), (file) => keep(cache, file));
    await cache.put(new URL("precache.json", scope).href, listing);
  } catch (error) {
    // Another turn of this may have made the copy whole: that one stays.
    const listed = await caches.match(new URL("precache.json", scope).href, { cacheName: CACHE });
    if (!listed) await caches.delete(CACHE);
    await announce({ say: "refused", why: String(error.message || error) });
    throw error;
  }
}

// Of the drawing engine's two builds only the one that the page runs on, where it has told.
async function taken(files) {
  const told = await (await caches.open(NOTES)).match(`${scope}engine`);
  const engine = told ? await told.text() : null;
  return files.filter((file) => !file.engine || !engine || file.engine === engine);
}

async function keep(cache, file) {
  const url = new URL(file.path, scope).href;
  if (await cache.match(url)) return;
  const response = await take(file);
  await cache.put(url, response);
}

// The ordinary HTTP cache may answer first; whatever does not have the right hash is fetched anew,
// past every cache, and if that is wrong too the whole install is refused.
async function take(file) {
  const url = new URL(file.path, scope).href;
  for (const cache of file.sha256 ? ["default", "reload"] : ["no-cache"]) {
    const response = await packed(url, { cache, credentials: "same-origin" });
    if (!response.ok) continue;
    if (!file.sha256) return response;
    const bytes = await response.clone().arrayBuffer().catch(() => null);
    if (bytes && (await sha256(bytes)) === file.sha256) return ofType(file.type, response, bytes);
  }
  throw new Error(`${file.path} did not arrive as it was published`);
}

// Archives are packed on the way. A host that does not do so has a packed copy beside each: that
// one is taken instead and unpacked here (worker.js does the same).
async function packed(url, how) {
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

// The response as it came, so that the browser can keep compiled code beside it; made anew only
// when the host named a wrong type.
function ofType(type, response, bytes) {
  const essence = (text) => (text || "").split(";")[0].trim().toLowerCase();
  if (essence(response.headers.get("Content-Type")) === essence(type)) return response;
  return new Response(bytes, { headers: { "Content-Type": type } });
}

async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function inTurns(width, items, work) {
  const queue = items.slice();
  const lane = async () => {
    while (queue.length) await work(queue.shift());
  };
  await Promise.all(Array.from({ length: width }, lane));
}

async function answer(request) {
  const cache = await caches.open(await serving());
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

// The browser cleared the copy and there is no network: our words rather than its fault page.
function nothingHere() {
  const german = self.navigator.language.startsWith("de");
  const [title, happened, next, again] = german ? [
    "Die App ist nicht auf diesem Gerät",
    "Der Browser hat die Kopie der App weggeräumt, und es ist kein Netz da, um sie neu zu holen. " +
      "Aufzeichnungen liegen getrennt davon; diese Seite hat nichts verändert.",
    "Mit dem Netz verbinden, aus dem die App kam.",
    "Noch einmal versuchen",
  ] : [
    "The app is not on this device",
    "The browser cleared away the copy of the app, and there is no network to fetch it again. " +
      "Records are kept apart from it; this page changed nothing.",
    "Connect to the network the app came from.",
    "Try again",
  ];
  const page = `<!DOCTYPE html><html lang="${german ? "de" : "en-GB"}"><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>${title}</title>
<style>body{margin:0;padding:24px;background:#14110d;color:#f0e7d6;font:17px/1.5 system-ui,sans-serif}
a{color:#e0ae55;display:inline-block;padding:12px 0}</style>
<h1>${title}</h1><p>${happened}</p><p>${next}</p><a href="${scope}">${again}</a></html>`;
  const headers = { "Content-Type": "text/html; charset=utf-8" };
  return new Response(page, { status: 503, headers });
}

// --- one build back, when the new one does not start -------------------------------------------

let chosen = null;

// The cache that answers: our own, or the one before after somebody chose to go back.
async function serving() {
  if (chosen === null) {
    const noted = await gaveWay();
    chosen = noted && (await caches.has(noted.to)) ? noted.to : CACHE;
  }
  return chosen;
}

// To which copy this build gave way, and why; null when it did not.
async function gaveWay() {
  const noted = await (await caches.open(NOTES)).match(scope + BUILD);
  return noted ? noted.json() : null;
}

async function giveWay(to, why) {
  await (await caches.open(NOTES)).put(scope + BUILD, new Response(JSON.stringify({ to, why })));
  chosen = to;
}

async function trustAgain() {
  await (await caches.open(NOTES)).delete(scope + BUILD);
  chosen = CACHE;
}

async function earlierCopy() {
  const names = await caches.keys();
  return names.find((name) => name.startsWith(PREFIX) && name !== CACHE && name !== NOTES) || null;
}

// This build runs: what came before may go, but not what waits to come after.
async function settle() {
  if (self.registration.waiting || self.registration.installing) return;
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== CACHE && name !== NOTES) await caches.delete(name);
  }
  await trustAgain();
}

// --- a damaged copy ---------------------------------------------------------------------------

async function mend() {
  const cache = await caches.open(CACHE);
  const { files } = await (await cache.match(new URL("precache.json", scope).href)).json();
  await inTurns(4, await taken(files), async (file) => {
    const url = new URL(file.path, scope).href;
    const copy = await cache.match(url);
    const whole = copy && (await sha256(await copy.arrayBuffer())) === file.sha256;
    if (!whole) await cache.put(url, await take(file));
  });
  return { ok: true };
}

async function announce(message) {
  const clients = await self.clients.matchAll({ includeUncontrolled: true });
  clients.forEach((client) => client.postMessage(message));
}
