// The copy of the app that is kept on the device, and the updates to it. The publisher puts this behind
// shell.js, in one file with it.
"use strict";

const settledLater = () => {
  let begin;
  const registered = new Promise((resolve) => { begin = resolve; });
  return { registered, begin };
};

const kept = {
  registration: null,
  refusal: "",
  gaveWay: null,
  altered: 0,
  applying: false,
  said: "",
  looked: Date.now(),
  ...settledLater(),

  // The reply of the service worker that serves this page; null where there is none, or none answers
  // in time.
  ask(message, seconds = 5) {
    const worker = navigator.serviceWorker && navigator.serviceWorker.controller;
    if (!worker) return Promise.resolve(null);
    return new Promise((resolve) => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = ({ data }) => resolve(data);
      setTimeout(() => resolve(null), seconds * 1000);
      worker.postMessage(message, [port2]);
    });
  },

  // Begins with the start of the app; whoever looks for a newer build earlier waits for it.
  start() {
    kept.begin(kept.register());
    return kept.registered;
  },

  async register() {
    if (!navigator.serviceWorker) return;
    navigator.serviceWorker.addEventListener("message", ({ data }) => kept.heard(data));
    navigator.serviceWorker.addEventListener("controllerchange", () => kept.handedOver());
    await kept.ask({ say: "booted", build: BUILD });
    const copies = await kept.ask({ say: "copies" });
    kept.gaveWay = copies?.gaveWay || null;
    kept.altered = copies?.altered?.length || 0;
    try {
      await kept.tellEngine();
      kept.registration = await navigator.serviceWorker.register("sw.js", {
        updateViaCache: "none",
      });
      kept.registration.addEventListener("updatefound", () => kept.watch());
      kept.watch();
    } catch (error) {
      kept.refusal = String(error.message || error);
    }
    kept.report();
  },

  // Notes which build of the drawing engine this browser takes: the service worker keeps only that.
  async tellEngine() {
    if (!bench.engine) return;
    const notes = await caches.open(`nutwright ${here.pathname} notes`);
    await notes.put(new URL("engine", here), new Response(bench.engine));
  },

  watch() {
    const coming = kept.registration.installing;
    if (!coming) return;
    coming.addEventListener("statechange", () => {
      if (coming.state === "installed") kept.refusal = ""; // what was refused before is here now
      kept.report();
    });
  },

  heard(message) {
    if (message.say !== "refused") return;
    kept.refusal = message.why;
    kept.report();
  },

  state() {
    const { registration } = kept;
    return {
      build: BUILD,
      offline: Boolean(navigator.serviceWorker && navigator.serviceWorker.controller),
      update: Boolean(registration && registration.waiting && registration.active),
      refusal: kept.refusal || (kept.gaveWay ? kept.gaveWay.why : ""),
      altered: kept.altered,
    };
  },

  // Tries once more what was refused: starts the newer build again, or fetches it again.
  async again() {
    kept.refusal = "";
    const copies = await kept.ask({ say: "copies" });
    if (!copies?.gaveWay) return kept.look();
    await kept.ask({ say: "again" });
    return location.reload();
  },

  // An update is offered only while Python says that no work is under way.
  quiet: false,
  later: false,

  offer() {
    const { update } = kept.state();
    byId("offer").hidden = !(update && kept.quiet && !kept.later);
  },

  report() {
    kept.offer();
    const value = kept.state();
    const said = JSON.stringify(value);
    if (said === kept.said) return;
    kept.said = said;
    bench.tell("news", { event: "kept", value });
  },

  // Looks for a newer build; without a network nothing happens.
  async look() {
    kept.looked = Date.now();
    await kept.registered;
    await kept.registration?.update().catch(() => {});
    kept.report();
  },

  lookIfLongAgo() {
    if (Date.now() - kept.looked > LOOK_AGAIN_MINUTES * 60_000) kept.look();
  },

  apply() {
    const waiting = kept.registration && kept.registration.waiting;
    if (!waiting) return false;
    kept.applying = true;
    waiting.postMessage({ say: "apply" });
    return true;
  },

  // Only the tab that asked for the update reloads; in any other it might cut a reading short.
  handedOver() {
    if (kept.applying) location.reload();
    else kept.ask({ say: "booted", build: BUILD }).then(() => kept.report());
  },
};

// What two people compare: the SHA-256 of the paths and hashes of the build's files, a line each. It is
// read from the list of the copy on the device, else from the host's.
async function digestOfThisBuild() {
  const { build, files } = await (await fetch(new URL("precache.json", here))).json();
  if (build !== BUILD) throw new Error("the host has another build by now");
  const lines = files.map(({ path, sha256 }) => `${path}\n${sha256}\n`).sort();
  const text = new TextEncoder().encode(lines.join(""));
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", text));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
