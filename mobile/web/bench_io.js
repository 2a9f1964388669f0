// What only a page can do, done for Python in the worker, and the page's own first and last words.
"use strict";

const byId = (id) => document.getElementById(id);

// --- progress ---------------------------------------------------------------------------------

const progress = {
  sizes: JSON.parse(byId("parts").textContent),
  arrived: new Set(),
};

function arrived(url) {
  const path = url.startsWith(here.href) ? url.slice(here.href.length).split("?")[0] : "";
  if (!(path in progress.sizes) || progress.arrived.has(path)) return;
  progress.arrived.add(path);
  showProgress();
}

function showProgress() {
  const total = Object.values(progress.sizes).reduce((sum, size) => sum + size, 0);
  const done = [...progress.arrived].reduce((sum, path) => sum + progress.sizes[path], 0);
  const bar = byId("reached");
  if (!bar) return;
  bar.style.width = `${Math.round((100 * done) / total)}%`;
  const mega = (bytes) => (bytes / 1e6).toFixed(1);
  byId("fetched").textContent = `${mega(done)} of ${mega(total)} MB`;
  if (done === total) byId("doing").textContent = "Setting out the tools…";
}

new PerformanceObserver((list) => list.getEntries().forEach((entry) => arrived(entry.name)))
  .observe({ type: "resource", buffered: true });
bench.events.addEventListener("arrived", ({ detail }) => arrived(detail.url));

// --- booted, or not ---------------------------------------------------------------------------

bench.booted = new Promise((resolve) => {
  const check = () => { if (bench.frames >= 2) resolve(); };
  bench.events.addEventListener("frame", check);
});

bench.booted.then(() => {
  requestAnimationFrame(() => setTimeout(() => byId("loading")?.remove(), 50));
  document.documentElement.dataset.booted = "yes";
});

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

addEventListener("DOMContentLoaded", () => {
  if (bench.missing) {
    notice("This browser is too old", [
      `It lacks ${bench.missing}, which the app needs to run in the page.`,
      "Nothing was changed on this device. Open this address in a current browser.",
    ]);
  }
  bench.started.catch((error) => notice("The app did not start", [
    String(error.message || error),
    "What was recorded on this device is untouched.",
  ], [["Try again", () => location.reload()]]));
});

// --- semantics on, so that screen readers and keyboards find every control --------------------

bench.booted.then(function semanticsOn() {
  const placeholder = document.querySelector("flt-semantics-placeholder");
  if (placeholder) placeholder.click();
  else if (!document.querySelector("flt-semantics-host > *")) setTimeout(semanticsOn, 50);
});

// --- the copy kept on the device --------------------------------------------------------------

if ("serviceWorker" in navigator) {
  bench.booted.then(async () => {
    navigator.serviceWorker.controller?.postMessage({ say: "booted" });
    await navigator.serviceWorker.register("sw.js", { updateViaCache: "none" });
  });
}
