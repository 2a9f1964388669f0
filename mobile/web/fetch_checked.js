// What the worker takes in from the host: each file only as it was published, and no wait without an end.
// The publisher puts this behind sw.js, in one file with it.
"use strict";

// With no byte of any file for this long a fetch is given up. Browsers end an install that hangs, and with
// it every look for a newer build that waits behind it, only after minutes.
const SILENT_SECONDS = 30;

// Fetches a file and checks its hash. The browser's HTTP cache may answer first; what has another hash
// is fetched again past every cache, and if that is wrong too the whole install is refused.
async function fetchChecked(file) {
  const url = new URL(file.path, scope).href;
  for (const cache of ["default", "reload"]) {
    const found = await unlessSilent((signal) => arrived(file, url, { cache, signal }));
    if (found) return found;
  }
  throw new Error(`${file.path} did not arrive as it was published`);
}

// The response with the file as it was published; null where another came, or not all of it.
async function arrived(file, url, how) {
  const response = await compressed(url, { ...how, credentials: "same-origin" });
  const bytes = response.ok && await bytesOf(response.clone()).catch(() => null);
  if (bytes && (await sha256(bytes)) === file.sha256) return ofType(file.type, response, bytes);
  giveUp(response);
  return null;
}

// What nobody reads may hold one of the few connections to the host.
function giveUp(response) {
  response.body?.cancel().catch(() => {}); // one that broke off needs no end
}

async function bytesOf(response) {
  const reader = response.body.getReader();
  const parts = [];
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    heard();
    parts.push(part.value);
  }
  const bytes = new Uint8Array(parts.reduce((length, part) => length + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes.buffer;
}

// Of each fetch under way, what restarts its clock. It may wait for its turn behind others, so a byte of
// any file counts for all.
const clocks = new Set();
const heard = () => clocks.forEach((restart) => restart());

// What `work` comes to. A host may fall silent in the middle of a file without hanging up: then all that
// is fetched with the signal is given up, and whoever looks again later begins anew.
async function unlessSilent(work) {
  const control = new AbortController();
  let clock = 0;
  let restart = null;
  const silence = new Promise((_, reject) => {
    restart = () => {
      clearTimeout(clock);
      clock = setTimeout(() => {
        control.abort();
        reject(new Error(`nothing came from the host for ${SILENT_SECONDS} seconds`));
      }, SILENT_SECONDS * 1000);
    };
  });
  clocks.add(restart);
  heard();
  try {
    return await Promise.race([work(control.signal), silence]);
  } finally {
    clearTimeout(clock);
    clocks.delete(restart);
  }
}

// A host that compresses what it sends compresses the archives too. From any other host the
// compressed copy beside each is fetched and decompressed here (worker.js does the same). The archive is
// given up before its copy is asked for, and asked for again where there is none.
async function compressed(url, how) {
  const response = await fetch(url, how);
  if (!url.endsWith(".zip") || !response.ok) return response;
  if (response.headers.get("Content-Encoding")) return response;
  if (typeof DecompressionStream !== "function") return response;
  giveUp(response);
  const copy = await fetch(`${url}.gz`, how).catch(() => null);
  if (!copy?.ok || copy.headers.get("Content-Type")?.startsWith("text/")) {
    if (copy) giveUp(copy);
    return fetch(url, how);
  }
  if (copy.headers.get("Content-Encoding")) return copy;
  return new Response(copy.body.pipeThrough(new DecompressionStream("gzip")));
}

// The response itself, so that the browser can cache compiled code with it; a new one only where the
// host named a wrong type.
function ofType(type, response, bytes) {
  if (isOfType(type, response)) return response;
  giveUp(response);
  return new Response(bytes, { headers: { "Content-Type": type } });
}
