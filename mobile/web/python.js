// Starts Python in a worker as soon as the page's head is read, while the drawing engine is still
// on its way, and joins the two once both are there. The drawing engine calls jsConnect, jsSend
// and jsDisconnect; bench_io.js listens to what Python asks of the page.
"use strict";

const here = new URL("./", document.baseURI);

var flet = {
  pyodide: true,
  multiView: false,
  noCdn: true,
  webSocketEndpoint: "/ws",
  entrypointBaseUrl: here.pathname,
  assetBase: here.pathname,
  routeUrlStrategy: "hash",
  canvasKitBaseUrl: here.pathname + "canvaskit/",
  // Asked for a sign that no font of ours has, the engine tries a long list of fonts below this
  // address, again and again. Any font for an answer lets it draw a box and be done.
  fontFallbackBaseUrl: "assets/fonts/Bench-Regular.woff2?",
  webRenderer: "canvaskit",
};
flet.flutterAppLoaded = new Promise((resolve) => { flet.flutterAppResolve = resolve; });

const bench = {
  // What this browser lacks that the app cannot run without; null when it lacks nothing.
  missing: (() => {
    if (typeof WebAssembly !== "object") return "WebAssembly";
    if (typeof Worker !== "function") return "workers";
    if (typeof BigInt64Array !== "function") return "64-bit numbers";
    return null;
  })(),
  // Which of its two builds the drawing engine runs on (see mobile/publish/precache.py), if known.
  engine: null,
  // Whether everything comes from the network, none of it from a copy on the device.
  firstVisit: !(navigator.serviceWorker && navigator.serviceWorker.controller),
  worker: null,
  failure: null,
  listeners: new Set(),
  frames: 0,
  toDart: null,
  events: new EventTarget(),
};

bench.tell = (name, detail) => bench.events.dispatchEvent(new CustomEvent(name, { detail }));

// In a browser that blocks storage, even to read it throws, and the client would stop there. It gets
// a storage in memory instead.
for (const name of ["localStorage", "sessionStorage"]) {
  try {
    void globalThis[name].length;
  } catch {
    const kept = new Map();
    const value = {
      get length() { return kept.size; },
      key: (at) => [...kept.keys()][at] ?? null,
      getItem: (key) => kept.get(String(key)) ?? null,
      setItem: (key, text) => { kept.set(String(key), String(text)); },
      removeItem: (key) => { kept.delete(String(key)); },
      clear: () => kept.clear(),
    };
    Object.defineProperty(globalThis, name, { value });
  }
}

// A small value in the browser's storage, apart from the records; null where there is none or the
// browser stores nothing.
bench.stored = (key) => {
  try {
    return localStorage.getItem(`nutwright.${key}`);
  } catch {
    return null;
  }
};

// After a time in which the host was in other hands, its operator names the recovery anew. What such a
// time may have left beside the records goes at the first start; the reader's language and whether there
// are records stay. Whether this device was here before is told by their being there.
bench.recovery = document.documentElement.dataset.recovery;
bench.recovered = false;
if (bench.recovery && bench.stored("recovery") !== bench.recovery) {
  try {
    const left = Object.keys(localStorage).filter((key) => key.startsWith("nutwright."));
    bench.recovered = left.length > 0 || !bench.firstVisit;
    const stays = ["nutwright.records", "nutwright.language"];
    left.filter((key) => !stays.includes(key)).forEach((key) => localStorage.removeItem(key));
    sessionStorage.clear();
    localStorage.setItem("nutwright.recovery", bench.recovery);
  } catch { /* a browser that stores nothing has nothing left */ }
}

// A worker that another host set up for these very addresses would answer in the place of ours. It may
// not: none but ours has anything to do there.
async function alone() {
  const found = await navigator.serviceWorker?.getRegistrations().catch(() => []) || [];
  const used = ["worker.js", "index.html"].map((path) => new URL(path, here).href);
  const strange = found.filter(({ scope }) => scope !== here.href && scope.startsWith(here.href)
    && used.some((url) => url.startsWith(scope)));
  await Promise.all(strange.map((registration) => registration.unregister()));
}

// What the drawing engine could not draw, as it would say itself (see mobile/publish/patch.py).
globalThis.benchUndrawn = (why) => bench.tell("crashed", { why: String(why) });

// What a shortcut of the device or the link of a label asks for, behind its address's #; nothing where
// it is no such address. Of a label it is "i=" and the label's code, whatever that is: Python says so
// where nothing here has it.
bench.wanted = (address) => {
  const shortcut = /#start=(check|job)$/.exec(address);
  if (shortcut) return shortcut[1];
  const label = /#(i=[^#]{0,64})/.exec(address);
  return label ? label[1] : "";
};

// Whether the page was reloaded to open at the list of jobs and not where work was left. It is true
// once: reading it takes it away.
bench.atHome = () => {
  try {
    const asked = sessionStorage.getItem("nutwright.at-home") !== null;
    sessionStorage.removeItem("nutwright.at-home");
    return asked;
  } catch {
    return false;
  }
};

// Reports how much of a file has arrived, on a first visit only (worker.js says why).
async function count(url, reader) {
  let bytes = 0;
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    bytes += part.value.length;
    bench.tell("arriving", { url, bytes });
  }
}

// The drawing engine compiles while it is fetched. Browsers refuse that where a host names another
// type for the file, so the type is set right here; a damaged file is reported at once.
if (typeof WebAssembly === "object") {
  const compile = WebAssembly.compileStreaming;
  WebAssembly.compileStreaming = async (source) => {
    try {
      const response = await source;
      if (bench.firstVisit) count(response.url, response.clone().body.getReader()).catch(() => {});
      const engine = /canvaskit\/(chromium\/)?canvaskit\.wasm$/.exec(response.url);
      if (engine) bench.engine = engine[1] ? "chromium" : "any";
      if (response.headers.get("Content-Type") === "application/wasm") return await compile(response);
      return await compile(new Response(response.body, {
        status: response.status, headers: { "Content-Type": "application/wasm" },
      }));
    } catch (error) {
      bench.tell("crashed", { why: `the drawing engine is damaged: ${error.message}` });
      throw error;
    }
  };
}

// Tells the worker that the part of its work called `name` may begin.
bench.cue = (name) => bench.worker?.postMessage({ cue: name });

bench.started = new Promise((resolve, reject) => {
  if (bench.missing) return;
  // Read now: the address is tidied up (bench_io.js) before the worker is there.
  const given = {
    documentUrl: document.URL,
    module: document.documentElement.dataset.module,
    atHome: bench.atHome(),
    startScreen: bench.stored("porch") || "",
    records: Boolean(bench.stored("records")),
    wanted: bench.wanted(location.href),
  };
  alone().then(() => startWorker(given, resolve, reject)).catch(reject);
});
bench.started.catch((error) => { bench.failure = error; bench.tell("failed", error); });

function startWorker(given, resolve, reject) {
  const script = new URL(bench.firstVisit ? "worker.js?first" : "worker.js", here);
  bench.worker = new Worker(script, { type: "module" });
  bench.worker.onerror = (event) => {
    reject(new Error(event.message || "the Python worker could not be loaded"));
  };
  bench.worker.onmessage = ({ data }) => {
    if (data instanceof Uint8Array) {
      bench.frames += 1;
      if (bench.toDart) bench.toDart(data);
      bench.tell("frame");
    } else if (data.kind === "started") {
      resolve();
    } else if (data.kind === "failed") {
      reject(new Error(data.why));
    } else {
      bench.tell(data.kind, data);
    }
  };
  bench.worker.postMessage(given);
}

globalThis.jsConnect = async (_app, _arguments, dartOnMessage) => {
  bench.toDart = dartOnMessage;
  await bench.started;
};

globalThis.jsSend = async (_app, data) => bench.worker.postMessage(data, [data.buffer]);

globalThis.jsDisconnect = async () => {
  bench.toDart = null;
};
