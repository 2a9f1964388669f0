// The Python worker: fetches everything at once, unpacks the app and runs its main module.
"use strict";

const here = new URL("./", self.location.href);

// Everything is requested at once. When the runtime fetches one of these files itself, it gets the
// request that is already under way.
const underWay = new Map();
const realFetch = self.fetch.bind(self);
const firstVisit = new URL(self.location.href).search === "?first";
for (const path of ["pyodide/pyodide.asm.wasm", "pyodide/python_stdlib.zip",
  "pyodide/pyodide-lock.json"]) {
  const url = new URL(path, here).href;
  underWay.set(url, fetchNow(url));
}
self.fetch = (what, how) => {
  const url = String(what);
  const coming = underWay.get(url);
  underWay.delete(url);
  return coming || realFetch(what, how);
};
// These are set to null once they are unpacked, so that their memory is free for the rest of the day.
let packages = bytesOf("packages.zip");
let app = bytesOf("app.zip");
for (const coming of [packages, app, ...underWay.values()]) coming.catch(() => {});

async function fetchNow(url) {
  const response = await realFetch(url, { credentials: "same-origin" });
  if (!firstVisit || !response.ok) return response;
  const sent = await compressed(url, response);
  count(url, sent.clone().body.getReader()).catch(() => {});
  return sent;
}

// A host that compresses what it sends compresses the archives too. From any other host the
// compressed copy beside each is fetched and decompressed here (fetch_checked.js does the same).
async function compressed(url, response) {
  if (!url.endsWith(".zip") || response.headers.get("Content-Encoding")) return response;
  if (typeof DecompressionStream !== "function") return response;
  const copy = await realFetch(`${url}.gz`, { credentials: "same-origin" }).catch(() => null);
  if (!copy?.ok || copy.headers.get("Content-Type")?.startsWith("text/")) {
    copy?.body?.cancel(); // what nobody reads may hold one of the few connections to the host
    return response;
  }
  response.body.cancel();
  if (copy.headers.get("Content-Encoding")) return copy;
  return new Response(copy.body.pipeThrough(new DecompressionStream("gzip")));
}

// The runtime compiles while it is fetched. Browsers refuse that where a host names another type, and
// on a damaged file the runtime only writes to the log and never settles: both are handled here.
const instantiate = WebAssembly.instantiateStreaming;
WebAssembly.instantiateStreaming = async (source, imports) => {
  try {
    return await instantiate(asWasm(await source), imports);
  } catch (error) {
    self.postMessage({ kind: "failed", why: `Python's runtime is damaged: ${error.message}` });
    throw error;
  }
};

function asWasm(response) {
  if (response.headers.get("Content-Type") === "application/wasm") return response;
  return new Response(response.body, {
    status: response.status, headers: { "Content-Type": "application/wasm" },
  });
}

// Tells the page how much of a file has arrived. On a first visit only: later ones read everything
// from the copy on the device, and a response that was counted loses the compiled code cached with it.
async function count(url, reader) {
  let bytes = 0;
  let told = 0;
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    bytes += part.value.length;
    if (performance.now() - told < 200) continue;
    told = performance.now();
    self.postMessage({ kind: "arriving", url, bytes });
  }
}

// What Python reaches as the module flet_js: the drawing engine's side of the wire.
const flet_js = { start_connection: null, documentUrl: "" };
// What Python reaches as the module bench_js: the page's side (see bench_io.js).
const bench_js = {
  post: (text) => self.postMessage({ kind: "ask", text }),
  step: (name) => step(name),
  failed: (why) => self.postMessage({ kind: "crashed", why }),
  start_screen: "",
  records: false,
  at_home: false,
  language: navigator.language || "",
  wanted: "",
  first: firstVisit,
  rest: null,
};

// Messages for Python wait in order until Python sets the function that takes them.
function inbox(owner, name) {
  const waiting = [];
  let take = null;
  Object.defineProperty(owner, name, {
    get: () => take,
    set: (given) => {
      take = given;
      waiting.splice(0).forEach((message) => take(message));
    },
  });
  return (message) => (take ? take(message) : waiting.push(message));
}
const toFlet = inbox(flet_js, "send");
const toBench = inbox(bench_js, "receive");

// What the start screen does not need is fetched once everything that it needs is here, and unpacked
// once it is painted: until then network and processor work for the start screen alone.
const cues = {};
const cue = (name) => new Promise((resolve) => { cues[name] = resolve; });
const painted = cue("painted");
let rest = cue("line free").then(() => bytesOf("rest.zip"));
rest.catch(() => {});

async function bytesOf(path) {
  const response = await fetchNow(new URL(path, here).href).catch(() => null);
  if (!response) throw new Error(`${path} could not be fetched. Is there a network?`);
  if (!response.ok) throw new Error(`the host has no ${path} (it answered ${response.status})`);
  return response.arrayBuffer().catch(() => {
    throw new Error(`${path} could not be fetched whole`);
  });
}

// Tells the page that a step of the start is done, and when (milliseconds of wall clock).
function step(name) {
  self.postMessage({ kind: "step", name, at: performance.timeOrigin + performance.now() });
}

function watchArrivals() {
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) {
      self.postMessage({ kind: "arrived", url: entry.name });
    }
  }).observe({ type: "resource", buffered: true });
}

async function start({ documentUrl, module, startScreen, records, wanted, atHome }) {
  const { loadPyodide } = await import(new URL("pyodide/pyodide.mjs", here));
  const pyodide = await loadPyodide({
    stdout: (text) => console.log(text),
    stderr: (text) => console.error(text),
  }).catch(async (error) => {
    await Promise.all([packages, app]); // where these failed too, their reason is the plainer one
    throw error;
  });
  step("python");
  bench_js.rest = async () => {
    const bytes = await rest;
    rest = null;
    await painted;
    pyodide.unpackArchive(bytes, "zip", { extractDir: "/app" });
    pyodide.runPython("import importlib; importlib.invalidate_caches()");
  };
  bench_js.start_screen = startScreen;
  bench_js.records = records;
  bench_js.at_home = atHome;
  bench_js.wanted = wanted;
  flet_js.documentUrl = documentUrl;
  pyodide.registerJsModule("flet_js", flet_js);
  pyodide.registerJsModule("bench_js", bench_js);
  pyodide.FS.writeFile("/packages.zip", new Uint8Array(await packages));
  pyodide.unpackArchive(await app, "zip", { extractDir: "/app" });
  packages = app = null;
  step("unpacked");
  pyodide.globals.set("main_module", module);
  await pyodide.runPythonAsync(`
import os, runpy, sys
os.chdir("/app")
sys.path[:0] = ["/app", "/packages.zip"]
runpy.run_module(main_module, run_name="__main__")
`);
  step("imported");
  if (typeof flet_js.start_connection !== "function") {
    throw new Error("the app ended without showing anything");
  }
  await flet_js.start_connection((message) => {
    const bytes = message.toJs();
    self.postMessage(bytes, [bytes.buffer]);
  });
}

async function begin(given) {
  try {
    watchArrivals();
    await start(given);
    self.postMessage({ kind: "started" });
  } catch (error) {
    self.postMessage({ kind: "failed", why: String(error.message || error) });
  }
}

self.onmessage = ({ data }) => {
  if (data instanceof Uint8Array) toFlet(data);
  else if (data.text !== undefined) toBench(data.text);
  else if (data.cue) cues[data.cue]();
  else begin(data);
};
