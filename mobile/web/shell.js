// The page around the app: progress while it loads, plain words when it cannot, the copy kept on
// the device, and the updates to it. Python hears of these as events (see bench_io.js).
"use strict";

const byId = (id) => document.getElementById(id);
const BUILD = document.documentElement.dataset.build;
// With nothing new for this long the page says so; a slow line alone does not set it off.
const SILENT_SECONDS = 120;
const LOOK_AGAIN_MINUTES = 60;
const UNPAINTED_MS = 500;
// A build proves itself when its first screen stands for a while and all of it was drawn.
const FIRST_SCREEN = '[flt-semantics-identifier="ready"]';
const PROOF_MS = 1000;
const UNSEEN_SECONDS = 60;
const WENT_BACK = "nutwright.went-back";
const AT_HOME = "nutwright.at-home";

// --- the page's own words, in the language that was last read in, else the browser's --------------

const GERMAN = {
  "Laying out the bench…": "Die Werkbank wird eingerichtet…",
  "Setting out the tools…": "Das Werkzeug wird zurechtgelegt…",
  "{here} of {all} MB here": "{here} von {all} MB hier",
  "{done} of {all} set out": "{done} von {all} zurechtgelegt",
  "A newer version is ready.": "Eine neuere Fassung liegt bereit.",
  "Use it now": "Jetzt verwenden",
  "Later": "Später",
  "Go to the quick check? What was answered here is kept; what is half typed is not.":
    "Zur Schnellprüfung gehen? Was hier beantwortet wurde, bleibt; was halb getippt ist, nicht.",
  "Go to a new job? What was answered here is kept; what is half typed is not.":
    "Zu einem neuen Auftrag gehen? Was hier beantwortet wurde, bleibt; was halb getippt ist, nicht.",
  "Go there": "Dorthin gehen",
  "Stay here": "Hier bleiben",
  "This browser is too old": "Dieser Browser ist zu alt",
  "It lacks {what}, which the app needs to run in the page.":
    "Ihm fehlt {what}, was die App in der Seite braucht.",
  "Nothing was changed on this device. Open this address in a current browser.":
    "Auf diesem Gerät wurde nichts geändert. Diese Adresse in einem aktuellen Browser öffnen.",
  "This page was opened as a file": "Diese Seite wurde als Datei geöffnet",
  "Browsers run the app only from an address, not from a folder or a stick.":
    "Browser führen die App nur von einer Adresse aus, nicht aus einem Ordner oder von einem Stick.",
  "Serve the folder on this machine with “python -m mobile serve FOLDER”, and open the address that it names.":
    "Den Ordner auf diesem Rechner mit „python -m mobile serve ORDNER“ ausgeben und die genannte Adresse öffnen.",
  "Nothing was changed on this device.": "Auf diesem Gerät wurde nichts geändert.",
  "Nothing can be kept here": "Hier wird nichts aufbewahrt",
  "This address is plain http from another machine. On such a page a browser offers no place for records and no copy of the app for working without a network.":
    "Diese Adresse ist einfaches http von einem anderen Rechner. Auf so einer Seite gibt ein Browser keinen Platz für Aufzeichnungen und keine Kopie der App zum Arbeiten ohne Netz.",
  "Open the app over https, or on the machine that serves it at localhost.":
    "Die App über https öffnen, oder auf dem Rechner, der sie ausgibt, unter localhost.",
  "Look around without keeping anything": "Umsehen, ohne etwas aufzubewahren",
  "Try again": "Noch einmal versuchen",
  "Check the copy on this device and mend it": "Die Kopie auf diesem Gerät prüfen und richten",
  "The version before is running": "Die Fassung davor läuft",
  "The newer version did not start: {why}": "Die neuere Fassung ist nicht gestartet: {why}",
  "Go on": "Weiter",
  "Try the newer one again": "Die neuere noch einmal versuchen",
  "The app did not start": "Die App ist nicht gestartet",
  "What was recorded on this device is untouched.":
    "Was auf diesem Gerät aufgezeichnet wurde, ist unberührt.",
  "A screen could not be drawn": "Ein Bild ließ sich nicht zeichnen",
  "Open at the jobs": "Bei den Aufträgen öffnen",
  "Hand out a copy of everything": "Eine Kopie von allem herausgeben",
  "Look at it all the same": "Trotzdem ansehen",
  "nothing was drawn": "es wurde nichts gezeichnet",
  "Mending the copy on this device…": "Die Kopie auf diesem Gerät wird gerichtet…",
  "This needs a network if a file is damaged.": "Ist eine Datei beschädigt, braucht das ein Netz.",
  "The copy could not be mended": "Die Kopie ließ sich nicht richten",
  "The copy did not answer.": "Die Kopie antwortet nicht.",
  "Connect to the network the app came from and try again. Records are untouched.":
    "Mit dem Netz verbinden, aus dem die App kam, und noch einmal versuchen. Die Aufzeichnungen sind unberührt.",
  "{file} could not be loaded": "{file} ließ sich nicht laden",
  "nothing came for {count} seconds": "{count} Sekunden lang kam nichts",
};

const german = (bench.mark("language") || navigator.language || "").startsWith("de");
const inWords = (text, facts = {}) => ((german && GERMAN[text]) || text)
  .replace(/\{(\w+)\}/g, (found, name) => (name in facts ? facts[name] : found));

addEventListener("DOMContentLoaded", () => {
  byId("doing").textContent = inWords("Laying out the bench…");
  if (!german) return;
  document.documentElement.lang = "de";
  for (const element of document.querySelectorAll(".strip span, .strip button")) {
    element.textContent = inWords(element.textContent);
  }
});

// --- progress ---------------------------------------------------------------------------------

// Each part's size as sent and as unpacked, and how much of it is here, from 0 to 1.
const progress = { parts: JSON.parse(byId("parts").textContent), here: {} };

function arriving(url, bytes = Infinity) {
  if (!url.startsWith(here.href)) return;
  // Which of the two builds of the drawing engine is fetched depends on the browser.
  const path = url.slice(here.href.length).split("?")[0]
    .replace("canvaskit/chromium/", "canvaskit/");
  if (!(path in progress.parts)) return;
  const share = Math.min(1, bytes / progress.parts[path].unpacked);
  if (share <= (progress.here[path] || 0)) return;
  progress.here[path] = share;
  showProgress();
  heardSomething();
}

function showProgress() {
  if (!byId("reached")) return;
  const sum = (weigh) => Object.entries(progress.parts)
    .reduce((total, [path, { sent }]) => total + sent * weigh(path), 0);
  const all = sum(() => 1);
  const done = sum((path) => progress.here[path] || 0);
  const mega = (bytes) => (bytes / 1e6).toFixed(1).replace(".", german ? "," : ".");
  byId("reached").style.width = `${Math.round((100 * done) / all)}%`;
  byId("fetched").textContent = inWords("{here} of {all} MB here",
    { here: mega(done), all: mega(all) });
  if (done < all) return;
  byId("doing").textContent = inWords("Setting out the tools…");
  showTools();
  bench.cue("line free");
}

// Everything is here: from now on how far a slow device is shows by the steps of the start.
const TOOLS = ["python", "unpacked", "imported", "first frame", "connected"];

function showTools() {
  const done = TOOLS.filter((name) => name in steps).length;
  byId("fetched").textContent = inWords("{done} of {all} set out", { done, all: TOOLS.length });
}

new PerformanceObserver((list) => list.getEntries().forEach((entry) => arriving(entry.name)))
  .observe({ type: "resource", buffered: true });
bench.events.addEventListener("arrived", ({ detail }) => arriving(detail.url));
bench.events.addEventListener("arriving", ({ detail }) => arriving(detail.url, detail.bytes));
addEventListener("DOMContentLoaded", showProgress);

// When each part of the start was done, in milliseconds since the page was asked for.
const steps = {};
const step = (name, at = performance.timeOrigin + performance.now()) => {
  steps[name] = Math.round(at - performance.timeOrigin);
  showProgress();
};
bench.events.addEventListener("step", ({ detail }) => step(detail.name, detail.at));
bench.started.then(() => step("connected"), () => {});
addEventListener("flutter-first-frame", () => step("first frame"));

// --- plain words instead of a blank page ------------------------------------------------------

function notice(title, paragraphs, buttons = []) {
  const plate = byId("notice").firstElementChild;
  plate.replaceChildren();
  const add = (tag, text) => {
    const element = document.createElement(tag);
    element.textContent = inWords(text);
    plate.append(element);
    return element;
  };
  add("h1", title);
  paragraphs.forEach((text) => add("p", text));
  buttons.forEach(([text, act]) => add("button", text).addEventListener("click", act));
  byId("notice").hidden = false;
}

const closeNotice = () => { byId("notice").hidden = true; };

function sayTooOld() {
  notice("This browser is too old", [
    inWords("It lacks {what}, which the app needs to run in the page.", { what: bench.missing }),
    "Nothing was changed on this device. Open this address in a current browser.",
  ]);
}

function sayOpenedAsFile() {
  notice("This page was opened as a file", [
    "Browsers run the app only from an address, not from a folder or a stick.",
    "Serve the folder on this machine with “python -m mobile serve FOLDER”, and open the address that it names.",
    "Nothing was changed on this device.",
  ]);
}

function sayNothingIsKept() {
  notice("Nothing can be kept here", [
    "This address is plain http from another machine. On such a page a browser offers no place " +
      "for records and no copy of the app for working without a network.",
    "Open the app over https, or on the machine that serves it at localhost.",
  ], [["Look around without keeping anything", closeNotice]]);
}

// What fails before the build has proved itself is a failed start; later it is one bad screen.
let proved = false;
let failed = false;

bench.events.addEventListener("fell", ({ detail }) => {
  if (proved) sayCannotDraw(detail.why);
  else {
    failed = true;
    sayDidNotStart(detail.why);
  }
});

// The last line of what went wrong: the others say where in the code.
const inShort = (why) => why.trim().split("\n").pop();

async function sayDidNotStart(error) {
  if (proved || location.protocol === "file:") return;
  const buttons = [["Try again", () => location.reload()], ...handingOut()];
  const copies = await kept.ask({ say: "copies" });
  if (copies) buttons.push(["Check the copy on this device and mend it", mend]);
  const why = String((error && error.message) || error);
  console.error(why);
  // A build that never ran gives way to the one before it, once: what runs then is not its own.
  const last = inShort(why);
  if (copies && copies.earlier && copies.build === BUILD && await goBack(last)) return;
  notice("The app did not start", [
    last,
    "What was recorded on this device is untouched.",
  ], buttons);
}

function sayCannotDraw(why) {
  console.error(why);
  notice("A screen could not be drawn", [
    inShort(why),
    "What was recorded on this device is untouched.",
  ], [
    ["Open at the jobs", openAtTheJobs],
    ...handingOut(),
    ["Look at it all the same", closeNotice],
  ]);
}

// Where the history is open, Python hands out a copy of it without a screen.
const handingOut = () => ("opened" in steps
  ? [["Hand out a copy of everything", () => bench.tell("news", { event: "hand out", value: true })]]
  : []);

// Not where work was left: that may be the screen which cannot be drawn.
function openAtTheJobs() {
  try { sessionStorage.setItem(AT_HOME, "yes"); } catch { /* then it opens where it was left */ }
  location.reload();
}

async function mend() {
  notice("Mending the copy on this device…", ["This needs a network if a file is damaged."]);
  const done = await kept.ask({ say: "mend" }, 120);
  if (done && done.ok) location.reload();
  else notice("The copy could not be mended", [
    (done && done.why) || "The copy did not answer.",
    "Connect to the network the app came from and try again. Records are untouched.",
  ], [["Try again", () => location.reload()]]);
}

async function goBack(why) {
  const done = await kept.ask({ say: "back", why });
  if (!done || !done.ok) return false;
  try { sessionStorage.setItem(WENT_BACK, why); } catch { /* then it goes unsaid */ }
  location.reload();
  return true;
}

// Told once, by the build that the newer one gave way to.
function sayWentBack() {
  let why = null;
  try {
    why = sessionStorage.getItem(WENT_BACK);
    sessionStorage.removeItem(WENT_BACK);
  } catch { /* nothing was kept to tell */ }
  if (why === null) return;
  notice("The version before is running", [
    inWords("The newer version did not start: {why}", { why }),
    "What was recorded on this device is untouched.",
  ], [["Go on", closeNotice], ["Try the newer one again", () => kept.again()]]);
}

addEventListener("DOMContentLoaded", () => {
  byId("use").addEventListener("click", () => kept.apply());
  byId("later").addEventListener("click", () => { kept.later = true; kept.offer(); });
  if (location.protocol === "file:") sayOpenedAsFile();
  else if (bench.missing) sayTooOld();
  else if (!isSecureContext) sayNothingIsKept();
  bench.started.catch(sayDidNotStart);
});
addEventListener("error", ({ target }) => {
  if (target instanceof HTMLScriptElement && target.src.startsWith(here.href)) {
    sayDidNotStart(inWords("{file} could not be loaded",
      { file: target.src.slice(here.href.length) }));
  }
}, true);

// --- booted -----------------------------------------------------------------------------------

bench.booted = new Promise((resolve) => {
  bench.events.addEventListener("frame", () => { if (bench.frames >= 2) resolve(); });
});
let late = 0;

function heardSomething() {
  clearTimeout(late);
  if (bench.missing || document.documentElement.dataset.booted) return;
  late = setTimeout(() => sayDidNotStart(inWords("nothing came for {count} seconds",
    { count: SILENT_SECONDS })),
    SILENT_SECONDS * 1000);
}
for (const name of ["step", "frame"]) {
  bench.events.addEventListener(name, heardSomething);
}
heardSomething();

// The first screen stands; an app with a porch still opens what is behind it.
bench.booted.then(() => {
  heardSomething();
  step("booted");
  requestAnimationFrame(() => setTimeout(() => byId("loading")?.remove(), 50));
  afterPaint(() => ["line free", "painted"].forEach(bench.cue));
  semanticsOn();
  allowZoom();
  if (!("porch" in steps) || "opened" in steps) opened();
  else bench.events.addEventListener("step", () => { if ("opened" in steps) opened(); });
});

async function opened() {
  if (failed || document.documentElement.dataset.booted) return;
  document.documentElement.dataset.booted = "yes";
  heardSomething();
  if (isSecureContext) closeNotice();
  sayWentBack();
  if (!await stands()) bench.tell("fell", { why: inWords("nothing was drawn") });
  if (failed) return;
  proved = true;
  kept.start();
}

// Whether the first screen came to stand and stood for a while. What nobody can see is not drawn.
async function stands() {
  const aWhile = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
  const seen = { ms: 0 };
  while (!failed && !document.querySelector(FIRST_SCREEN)) {
    if (seen.ms > UNSEEN_SECONDS * 1000) return false;
    await aWhile(100);
    if (document.visibilityState === "visible") seen.ms += 100;
  }
  await aWhile(PROOF_MS);
  return true;
}

// A page in the background paints nothing, and still goes on.
function afterPaint(act) {
  const soon = setTimeout(act, UNPAINTED_MS);
  requestAnimationFrame(() => setTimeout(() => { clearTimeout(soon); act(); }));
}

// Screen readers and keyboards find every control from the start, without a hidden button.
function semanticsOn() {
  const placeholder = document.querySelector("flt-semantics-placeholder");
  if (placeholder) placeholder.click();
  else if (!document.querySelector("flt-semantics-host > *")) setTimeout(semanticsOn, 50);
}

// The drawing engine forbids zooming; people who need it larger must be able to.
function allowZoom() {
  for (const meta of document.querySelectorAll('meta[name="viewport"]')) {
    meta.content = "width=device-width, initial-scale=1, viewport-fit=cover";
  }
}

// --- the copy kept on the device, and updates -------------------------------------------------

const kept = {
  registration: null,
  refusal: "",
  gaveWay: null,
  applying: false,
  said: "",
  looked: Date.now(),

  // The reply of the worker that serves this page, or null when there is none or it is silent.
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

  async start() {
    if (!navigator.serviceWorker) return;
    navigator.serviceWorker.addEventListener("message", ({ data }) => kept.heard(data));
    navigator.serviceWorker.addEventListener("controllerchange", () => kept.handedOver());
    await kept.ask({ say: "booted", build: BUILD });
    kept.gaveWay = (await kept.ask({ say: "copies" }))?.gaveWay || null;
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

  // The worker keeps the build of the drawing engine that this browser takes, and not the other.
  async tellEngine() {
    if (!bench.engine) return;
    const notes = await caches.open(`nutwright ${here.pathname} notes`);
    await notes.put(new URL("engine", here), new Response(bench.engine));
  },

  watch() {
    const coming = kept.registration.installing;
    if (coming) coming.addEventListener("statechange", () => kept.report());
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
    };
  },

  // Try what was refused once more: start the newer build, or fetch it anew.
  async again() {
    kept.refusal = "";
    const copies = await kept.ask({ say: "copies" });
    if (!copies?.gaveWay) return kept.look();
    await kept.ask({ say: "again" });
    return location.reload();
  },

  // The strip that offers an update: only while Python says that nothing is under way.
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

  // Looks for a newer build; quiet when there is no network.
  async look() {
    kept.looked = Date.now();
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
