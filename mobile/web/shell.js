// The page around the app: progress while it loads, and plain words when it cannot start or draw. The
// publisher puts words.js before this and kept_copy.js behind it, in one file.
"use strict";

const byId = (id) => document.getElementById(id);
const BUILD = document.documentElement.dataset.build;
// With no progress for this long the start counts as failed; a slow line alone is progress.
const SILENT_SECONDS = 120;
const LOOK_AGAIN_MINUTES = 60;
const UNPAINTED_MS = 500;
// A build counts as working when its first screen has stood this long and all of it was drawn.
const FIRST_SCREEN = '[flt-semantics-identifier="ready"]';
const PROOF_MS = 1000;
const UNSEEN_SECONDS = 60;
const WENT_BACK = "nutwright.went-back";
const AT_HOME = "nutwright.at-home";

// --- the page's own words, in the language that was last read in, else the browser's --------------

const spoken = sayingIn(bench.stored("language") || navigator.language || "");
const { say, sayAs } = spoken;

addEventListener("DOMContentLoaded", () => {
  byId("doing").textContent = say("Laying out the bench…");
  sayElements(spoken);
});

// --- progress ---------------------------------------------------------------------------------

// The size of each file as sent and as unpacked, in bytes, and how much of it is here, from 0 to 1.
const progress = { parts: JSON.parse(byId("parts").textContent), here: {} };

function arriving(url, bytes = Infinity) {
  if (!url.startsWith(here.href)) return;
  // Browsers fetch one of two builds of the drawing engine; both count as the same file.
  const path = url.slice(here.href.length).split("?")[0]
    .replace("canvaskit/chromium/", "canvaskit/");
  if (!(path in progress.parts)) return;
  const share = Math.min(1, bytes / progress.parts[path].unpacked);
  if (share <= (progress.here[path] || 0)) return;
  progress.here[path] = share;
  showProgress();
  restartSilenceTimer();
}

function showProgress() {
  if (!byId("reached")) return;
  const sum = (weigh) => Object.entries(progress.parts)
    .reduce((total, [path, { sent }]) => total + sent * weigh(path), 0);
  const all = sum(() => 1);
  const done = sum((path) => progress.here[path] || 0);
  const mega = (bytes) => (bytes / 1e6).toFixed(1).replace(".", sayAs("decimal mark", "."));
  byId("reached").style.width = `${Math.round((100 * done) / all)}%`;
  byId("fetched").textContent = say("{here} of {all} MB here",
    { here: mega(done), all: mega(all) });
  if (done < all) return;
  byId("doing").textContent = say("Setting out the tools…");
  showTools();
  bench.cue("line free");
}

// Once everything is here, progress is shown by these steps of the start: a slow device takes seconds
// for them.
const TOOLS = ["python", "unpacked", "imported", "first frame", "connected"];

function showTools() {
  const done = TOOLS.filter((name) => name in steps).length;
  byId("fetched").textContent = say("{done} of {all} set out", { done, all: TOOLS.length });
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
    element.textContent = text;
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
  notice(say("This browser is too old"), [
    say("It lacks {what}, which the app needs to run in the page.", { what: bench.missing }),
    say("Nothing was changed on this device. Open this address in a current browser."),
  ]);
}

function sayOpenedAsFile() {
  notice(say("This page was opened as a file"), [
    say("Browsers run the app only from an address, not from a folder or a stick."),
    say("Serve the folder on this machine with “python -m mobile serve FOLDER”, and open the address " +
      "that it names."),
    say("Nothing was changed on this device."),
  ]);
}

function sayNothingIsKept() {
  notice(say("Nothing can be kept here"), [
    say("This address is plain http from another machine. On such a page a browser offers no place " +
      "for records and no copy of the app for working without a network."),
    say("Open the app over https, or on the machine that serves it at localhost."),
  ], [[say("Look around without keeping anything"), closeNotice]]);
}

// What fails before the build is known to work is a failed start; afterwards it is one screen that
// cannot be drawn.
let works = false;
let failed = false;

bench.events.addEventListener("crashed", ({ detail }) => {
  if (works) sayCannotDraw(detail.why);
  else {
    failed = true;
    sayDidNotStart(detail.why);
  }
});

// The last line of an error names it; the lines before say where in the code it was raised.
const inShort = (why) => why.trim().split("\n").pop();

async function sayDidNotStart(error) {
  if (works || location.protocol === "file:") return;
  const buttons = [[say("Try again"), () => location.reload()], ...handingOut()];
  const copies = await kept.ask({ say: "copies" });
  if (copies) buttons.push([say("Check the copy on this device and mend it"), mend]);
  const why = String((error && error.message) || error);
  console.error(why);
  if (copies?.altered?.length) return sayAltered(copies.altered, buttons);
  // A build that never ran is rolled back to the one before it. That happens once: the build then
  // running is another one.
  const last = inShort(why);
  if (copies && copies.earlier && copies.build === BUILD && await goBack(last)) return;
  notice(say("The app did not start"), [
    last,
    say("What was recorded on this device is untouched."),
  ], buttons);
}

function sayAltered(files, buttons) {
  notice(say("The copy of the app on this device was altered"), [
    say("Not as it was published: {files}. It was not run, and could not be fetched anew.",
      { files: files.join(", ") }),
    say("Connect to the network the app came from and try again. Records are untouched."),
  ], buttons);
}

// Tells a device that was here before that its host was in other hands and has a new beginning.
function sayRecovered() {
  if (!bench.recovered) return;
  notice(say("The host of this app was in other hands for a time"), [
    say("This version put away every copy and note that is not its own. What was recorded on this " +
      "device was not touched by that."),
    say("If the app was opened here in that time, what this device holds may have been read or changed, " +
      "and its key for the hub copied: have the key of this device revoked, join anew, and compare " +
      "the digest of the records with that of another device."),
  ], [[say("Go on"), closeNotice]]);
}

function sayCannotDraw(why) {
  console.error(why);
  notice(say("A screen could not be drawn"), [
    inShort(why),
    say("What was recorded on this device is untouched."),
  ], [
    [say("Open at the jobs"), openAtTheJobs],
    ...handingOut(),
    [say("Look at it all the same"), closeNotice],
  ]);
}

// Where the history is open, Python hands out a copy of it without a screen.
const handingOut = () => ("opened" in steps
  ? [[say("Hand out a copy of everything"),
    () => bench.tell("news", { event: "hand out", value: true })]]
  : []);

// Reloads to the list of jobs, since the screen where work was left may be the one that cannot be
// drawn.
function openAtTheJobs() {
  try { sessionStorage.setItem(AT_HOME, "yes"); } catch { /* then it opens where it was left */ }
  location.reload();
}

async function mend() {
  notice(say("Mending the copy on this device…"), [say("This needs a network if a file is damaged.")]);
  const done = await kept.ask({ say: "mend" }, 120);
  if (done && done.ok) location.reload();
  else notice(say("The copy could not be mended"), [
    (done && done.why) || say("The copy did not answer."),
    say("Connect to the network the app came from and try again. Records are untouched."),
  ], [[say("Try again"), () => location.reload()]]);
}

async function goBack(why) {
  const done = await kept.ask({ say: "back", why });
  if (!done || !done.ok) return false;
  try { sessionStorage.setItem(WENT_BACK, why); } catch { /* then it goes unsaid */ }
  location.reload();
  return true;
}

// Tells once that a newer build was rolled back; the build that it was rolled back to tells it.
function sayWentBack() {
  let why = null;
  try {
    why = sessionStorage.getItem(WENT_BACK);
    sessionStorage.removeItem(WENT_BACK);
  } catch { /* nothing was kept to tell */ }
  if (why === null) return;
  notice(say("The version before is running"), [
    say("The newer version did not start: {why}", { why }),
    say("What was recorded on this device is untouched."),
  ], [[say("Go on"), closeNotice], [say("Try the newer one again"), () => kept.again()]]);
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
    sayDidNotStart(say("{file} could not be loaded",
      { file: target.src.slice(here.href.length) }));
  }
}, true);

// --- booted -----------------------------------------------------------------------------------

bench.booted = new Promise((resolve) => {
  bench.events.addEventListener("frame", () => { if (bench.frames >= 2) resolve(); });
});
let silenceTimer = 0;

function restartSilenceTimer() {
  clearTimeout(silenceTimer);
  if (bench.missing || document.documentElement.dataset.booted) return;
  silenceTimer = setTimeout(() => sayDidNotStart(say("nothing came for {count} seconds",
    { count: SILENT_SECONDS })),
    SILENT_SECONDS * 1000);
}
for (const name of ["step", "frame"]) {
  bench.events.addEventListener(name, restartSilenceTimer);
}
restartSilenceTimer();

// The first screen stands. An app that shows a start screen before its history is open reports the step
// "porch", and has started only once it reports "opened".
bench.booted.then(() => {
  restartSilenceTimer();
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
  restartSilenceTimer();
  if (isSecureContext) closeNotice();
  sayWentBack();
  sayRecovered();
  if (!await firstScreenStands()) bench.tell("crashed", { why: say("nothing was drawn") });
  if (failed) return;
  works = true;
  kept.start();
}

// Whether the first screen appeared and stood for a while. A page in the background draws nothing, so
// the time that it is hidden does not count.
async function firstScreenStands() {
  const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
  const seen = { ms: 0 };
  while (!failed && !document.querySelector(FIRST_SCREEN)) {
    if (seen.ms > UNSEEN_SECONDS * 1000) return false;
    await pause(100);
    if (document.visibilityState === "visible") seen.ms += 100;
  }
  await pause(PROOF_MS);
  return true;
}

// Runs `act` after the next frame; where the page is in the background and draws none, after a while.
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
