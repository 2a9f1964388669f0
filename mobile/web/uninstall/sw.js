// Takes the place of the app's service worker. A page of the app that is open, or is just opening, still
// gets its files; whoever opens the address again gets the uninstall page, which deletes the copies and
// unregisters this worker. Records are stored elsewhere and are not touched.
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

// The page is fetched from the host each time, as a page of the app may be in the browser's HTTP cache.
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

const { language, say } = sayingIn(self.navigator.language || "");
const TITLE = say("Nutwright was taken away from this address");
const TEXT = say("The records on this device are untouched. Connect to the network and load this page " +
  "again: then they can be handed out.");
const OFFLINE = `<!DOCTYPE html><html lang="${language}"><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>${TITLE}</title>
<style>body{margin:0;padding:24px;background:#14110d;color:#f0e7d6;font:17px/1.5 system-ui,sans-serif}
</style><h1>${TITLE}</h1><p>${TEXT}</p></html>`;
