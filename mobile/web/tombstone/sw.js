// Takes the place of the app's worker. A page of the app that is open, or still opens, gets its
// files to the end; whoever opens the address anew gets the page that stands here now, which puts
// the copies and this worker away. Records lie elsewhere and are not touched.
"use strict";

const scope = self.registration.scope;
const PREFIX = `nutwright ${new URL(scope).pathname} `;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(scope)) return;
  event.respondWith(request.mode === "navigate" ? page(request) : file(request));
});

// Asked of the host each time: a page of the app may lie in the browser's ordinary cache.
async function page({ url }) {
  try {
    const response = await fetch(url, { cache: "no-cache", credentials: "same-origin" });
    return response.redirected ? Response.redirect(response.url) : response;
  } catch {
    const headers = { "Content-Type": "text/html; charset=utf-8" };
    return new Response(OFFLINE, { status: 503, headers });
  }
}

async function file(request) {
  const own = (await caches.keys()).filter((name) => name.startsWith(PREFIX));
  for (const cacheName of own) {
    const copy = await caches.match(request, { cacheName, ignoreSearch: true });
    if (copy) return copy;
  }
  return fetch(request);
}

const german = self.navigator.language.startsWith("de");
const [TITLE, TEXT] = german ? [
  "Nutwright wurde von dieser Adresse genommen",
  "Die Aufzeichnungen auf diesem Gerät sind unberührt. Mit dem Netz verbinden und die Seite neu " +
    "laden: dann lassen sie sich herausgeben.",
] : [
  "Nutwright was taken away from this address",
  "The records on this device are untouched. Connect to the network and load this page again: " +
    "then they can be handed out.",
];
const OFFLINE = `<!DOCTYPE html><html lang="${german ? "de" : "en-GB"}"><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>${TITLE}</title>
<style>body{margin:0;padding:24px;background:#14110d;color:#f0e7d6;font:17px/1.5 system-ui,sans-serif}
</style><h1>${TITLE}</h1><p>${TEXT}</p></html>`;
