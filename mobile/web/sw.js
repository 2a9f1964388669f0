// Keeps one whole, hash-checked copy of the site on the device and serves it from there.
// A newer build is fetched beside it, all or nothing, and takes over only when the page says so.
"use strict";

const BUILD = "{{build}}";
const PREFIX = "nutwright-";
const CACHE = PREFIX + BUILD;
const scope = self.registration.scope;

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  const say = event.data && event.data.say;
  if (say === "apply") self.skipWaiting();
  if (say === "booted") event.waitUntil(dropOthers());
  if (say === "build" && event.ports[0]) event.ports[0].postMessage(BUILD);
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(scope)) return;
  event.respondWith(answer(request));
});

async function install() {
  const listing = await take({ path: "precache.json" });
  const { build, files } = await listing.json();
  if (build !== BUILD) throw new Error(`the list is of build ${build}, the worker of ${BUILD}`);
  const cache = await caches.open(CACHE);
  try {
    await inTurns(6, files, (file) => keep(cache, file));
  } catch (error) {
    await caches.delete(CACHE);
    await announce({ say: "refused", why: String(error) });
    throw error;
  }
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
    const response = await fetch(url, { cache, credentials: "same-origin" });
    if (!response.ok) continue;
    const bytes = await response.arrayBuffer();
    if (!file.sha256 || (await sha256(bytes)) === file.sha256) return copyOf(bytes, file, response);
  }
  throw new Error(`${file.path} did not arrive as it was published`);
}

function copyOf(bytes, file, response) {
  const type = file.type || response.headers.get("Content-Type") || "application/octet-stream";
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
  const cache = await caches.open(CACHE);
  const url = new URL(request.url);
  url.search = url.hash = "";
  if (url.href === scope) url.pathname += "index.html";
  const kept = await cache.match(url.href);
  if (kept) return kept;
  // Every screen lives at the scope's own address, so any other page in it leads there.
  if (request.mode === "navigate") return Response.redirect(scope, 302);
  return fetch(request);
}

async function dropOthers() {
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name);
  }
}

async function announce(message) {
  const clients = await self.clients.matchAll({ includeUncontrolled: true });
  clients.forEach((client) => client.postMessage(message));
}
