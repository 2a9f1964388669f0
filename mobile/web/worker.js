// The Python worker: fetches everything at once, unpacks the app and runs its main module.
"use strict";

const here = new URL("./", self.location.href);
const archive = fetch(new URL("app.zip", here)).then(bytesOf);

// What Python reaches as the module flet_js: the drawing engine's side of the wire.
const flet_js = { send: null, start_connection: null, documentUrl: "" };
// What Python reaches as the module bench_js: the page's side (see bench_io.js).
const bench_js = {
  receive: null,
  post: (text) => self.postMessage({ kind: "ask", text }),
};

async function bytesOf(response) {
  if (!response.ok) throw new Error(`${response.url} answered ${response.status}`);
  return response.arrayBuffer();
}

function watchArrivals() {
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) {
      self.postMessage({ kind: "arrived", url: entry.name });
    }
  }).observe({ type: "resource", buffered: true });
}

async function start(documentUrl, module) {
  const { loadPyodide } = await import(new URL("pyodide/pyodide.mjs", here));
  const pyodide = await loadPyodide({
    stdout: (text) => console.log(text),
    stderr: (text) => console.error(text),
  });
  self.postMessage({ kind: "step", step: "python" });
  flet_js.documentUrl = documentUrl;
  pyodide.registerJsModule("flet_js", flet_js);
  pyodide.registerJsModule("bench_js", bench_js);
  pyodide.unpackArchive(await archive, "zip", { extractDir: "/app" });
  self.postMessage({ kind: "step", step: "unpacked" });
  pyodide.globals.set("main_module", module);
  await pyodide.runPythonAsync(`
import os, runpy, sys
os.chdir("/app")
sys.path[:0] = ["/app", "/app/__pypackages__"]
runpy.run_module(main_module, run_name="__main__")
`);
  if (typeof flet_js.start_connection !== "function") {
    throw new Error("the app ended without showing anything");
  }
  await flet_js.start_connection((message) => {
    const bytes = message.toJs();
    self.postMessage(bytes, [bytes.buffer]);
  });
}

// Messages that arrive before Python is ready wait here, in order.
const waiting = [];
let ready = false;

function deliver(data) {
  if (data instanceof Uint8Array) flet_js.send(data);
  else if (bench_js.receive) bench_js.receive(data.text);
}

self.onmessage = async ({ data }) => {
  if (data.documentUrl !== undefined) {
    try {
      watchArrivals();
      await start(data.documentUrl, data.module);
      ready = true;
      self.postMessage({ kind: "started" });
      waiting.splice(0).forEach(deliver);
    } catch (error) {
      self.postMessage({ kind: "failed", why: String(error) });
    }
  } else if (ready) {
    deliver(data);
  } else {
    waiting.push(data);
  }
};
