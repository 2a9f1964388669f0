// The Python worker: fetches everything at once, unpacks the app and runs its main module.
"use strict";

const here = new URL("./", self.location.href);

// Everything is asked for at once. What the runtime fetches for itself, it finds on its way here.
const early = new Map();
const realFetch = self.fetch.bind(self);
const firstVisit = new URL(self.location.href).search === "?first";
for (const path of ["pyodide/pyodide.asm.wasm", "pyodide/python_stdlib.zip",
  "pyodide/pyodide-lock.json"]) {
  const url = new URL(path, here).href;
  early.set(url, fetchNow(url));
}
self.fetch = (what, how) => {
  const url = String(what);
  const coming = early.get(url);
  early.delete(url);
  return coming || realFetch(what, how);
};
// What was unpacked is let go of: a day is long.
let packages = bytesOf("packages.zip");
let app = bytesOf("app.zip");
for (const coming of [packages, app, ...early.values()]) coming.catch(() => {});

async function fetchNow(url) {
  const response = await realFetch(url, { credentials: "same-origin" });
  if (!firstVisit || !response.ok) return response;
  const sent = await packed(url, response);
  count(url, sent.clone().body.getReader()).catch(() => {});
  return sent;
}

// Archives are packed on the way. A host that does not do so has a packed copy beside each: that
// one is taken instead and unpacked here (sw.js does the same).
async function packed(url, response) {
  if (!url.endsWith(".zip") || response.headers.get("Content-Encoding")) return response;
  if (typeof DecompressionStream !== "function") return response;
  const copy = await realFetch(`${url}.gz`, { credentials: "same-origin" }).catch(() => null);
  if (!copy?.ok || copy.headers.get("Content-Type")?.startsWith("text/")) return response;
  response.body.cancel();
  if (copy.headers.get("Content-Encoding")) return copy;
  return new Response(copy.body.pipeThrough(new DecompressionStream("gzip")));
}

// The runtime compiles while it fetches. Browsers refuse to where a host names another type than
// this, and of a damaged file the runtime only writes a log and waits for ever: both are seen to here.
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

// Tells the page how much of a file is here. Only on a first visit: later ones take everything
// from the device, where compiled code lies beside the files and counting would lose it.
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
  failed: (why) => self.postMessage({ kind: "fell", why }),
  porch: "",
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

// What the first screen does without is fetched once everything that it needs is here, and unpacked
// once it is painted: until then the line and both hands belong to the first screen.
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

// When each part of the start was done, in milliseconds of wall clock, for the page to keep.
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

async function start({ documentUrl, module, porch, records, wanted, atHome }) {
  const { loadPyodide } = await import(new URL("pyodide/pyodide.mjs", here));
  const pyodide = await loadPyodide({
    stdout: (text) => console.log(text),
    stderr: (text) => console.error(text),
  }).catch(async (error) => {
    await Promise.all([packages, app]); // where they failed, too, they say why in plainer words
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
  bench_js.porch = porch;
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
