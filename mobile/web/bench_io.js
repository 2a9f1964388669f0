// What only a page can do, done for Python in the worker.
//
// Python asks   {"id": 7, "ask": "wake", "with": {"on": true}}
// the page says {"id": 7, "state": "ok" | "absent" | "refused", "value": …, "why": "…"}
// and tells of  {"event": "visible", "value": false}            by itself.
"use strict";

class Absent extends Error {}
class Refused extends Error {}

const need = (thing, name) => {
  if (!thing) throw new Absent(`this browser has no ${name}`);
  return thing;
};

// A link to join a hub carries a code behind its #, where no server sees it; a shortcut's address
// carries the name of what it opens there, the link of a label the label's code. All are taken out of
// the address at once. Python asks for the code of a hub once.
const link = { code: "" };
function takeLink() {
  const found = /^#join=([^&]{1,64})$/.exec(location.hash);
  if (found) link.code = found[1];
  const wanted = bench.wanted(location.href);
  if (found || wanted) {
    history.replaceState(history.state, "", location.pathname + location.search);
  }
  return wanted;
}
takeLink();

// --- what can be asked ------------------------------------------------------------------------

const asks = {
  about: () => about(),

  link() {
    const { code } = link;
    link.code = "";
    return code;
  },

  async persist() {
    const storage = need(navigator.storage && navigator.storage.persist, "lasting storage");
    if (await storage.call(navigator.storage)) return true;
    throw new Refused("the browser may clear the records when it runs short of room");
  },

  async storage() {
    const storage = need(navigator.storage && navigator.storage.estimate, "storage estimate");
    const { quota, usage } = await storage.call(navigator.storage);
    const persisted = await navigator.storage.persisted();
    return { quota, usage, persisted };
  },

  async comforts() {
    return {
      scan: await readsSquares(),
      awake: Boolean(navigator.wakeLock),
      buzz: Boolean(navigator.vibrate),
      speech: Boolean(globalThis.speechSynthesis),
    };
  },

  async wake({ on }) {
    wake.wanted = on;
    return on ? wake.hold() : wake.release();
  },

  vibrate({ pattern }) {
    need(navigator.vibrate, "vibration");
    if (!navigator.vibrate(pattern)) throw new Refused("the browser did not vibrate");
    return true;
  },

  speak({ text, lang, rate }) {
    const speech = need(globalThis.speechSynthesis, "speech");
    const said = new SpeechSynthesisUtterance(text);
    if (lang) said.lang = lang;
    said.voice = speech.getVoices().find((voice) => worksHere(voice, lang)) || null;
    said.rate = rate || 1;
    speech.cancel();
    speech.speak(said);
    return true;
  },

  // Sets the page's language for screen readers, and stores it for the next start.
  language({ code }) {
    document.documentElement.lang = code;
    try { localStorage.setItem("nutwright.language", code); } catch { /* then it asks the browser */ }
    return true;
  },

  hush() {
    need(globalThis.speechSynthesis, "speech").cancel();
    return true;
  },

  voices() {
    const speech = need(globalThis.speechSynthesis, "speech");
    return speech.getVoices().map(({ name, lang, localService }) => ({ name, lang, localService }));
  },

  async share({ title, text, files }) {
    need(navigator.share, "share sheet");
    const data = { title, text };
    if (files && files.length) {
      data.files = files.map(fileOf);
      if (!navigator.canShare || !navigator.canShare(data)) {
        throw new Absent("this browser cannot share such a file");
      }
    }
    await navigator.share(data);
    return true;
  },

  download(file) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(fileOf(file));
    link.download = file.name;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    return true;
  },

  // Let the person choose one file; null when they think better of it.
  async pick({ accept }) {
    const file = await chosen({ accept });
    if (file === null) return null;
    return new Promise((resolve, reject) => {
      const reader = new FileReader();
      reader.onerror = () => reject(new Error("the file could not be read"));
      reader.onload = () => resolve({ name: file.name, base64: reader.result.split(",")[1] || "" });
      reader.readAsDataURL(file);
    });
  },

  // Let the person take a photo of a square picture (a QR code), and read it; null when they think
  // better of it. The device's own camera takes it, so that the page never sees through it.
  async scan() {
    need(await readsSquares(), "reader of square pictures");
    const photo = await chosen({ accept: "image/*", capture: "environment" });
    if (photo === null) return null;
    const reader = new BarcodeDetector({ formats: [SQUARE] });
    const [found] = await reader.detect(await createImageBitmap(photo));
    if (!found) throw new Refused("no square picture can be read in that photo");
    return found.rawValue;
  },

  async copy({ text }) {
    const clipboard = need(navigator.clipboard, "clipboard");
    await clipboard.writeText(text);
    return true;
  },

  // Reads or sets a small value in the browser's storage, apart from the records. Where such a value is
  // there and the records are not, the browser has cleared them.
  mark({ key, value }) {
    const name = `nutwright.${key}`;
    if (value === null) localStorage.removeItem(name);
    else if (value !== undefined) localStorage.setItem(name, value);
    return localStorage.getItem(name);
  },

  async install() {
    const prompt = need(installation.prompt, "way to install from here");
    installation.prompt = null;
    prompt.prompt();
    const { outcome } = await prompt.userChoice;
    if (outcome !== "accepted") throw new Refused("not installed");
    return true;
  },

  kept: () => kept.state(),

  digest: () => digestOfThisBuild(),

  async look() {
    await kept.look();
    return kept.state();
  },

  // Python says whether an update may be offered now: not while work is under way.
  quiet({ on }) {
    kept.quiet = on;
    kept.offer();
    shortcut.settle();
    return kept.state().update;
  },

  // A shortcut was followed while work is under way: the person is asked before the screen is left.
  wanted({ way }) {
    shortcut.ask(way);
    return true;
  },

  apply() {
    if (!kept.apply()) throw new Absent("no update is waiting");
    return true;
  },

  async again() {
    await kept.again();
    return kept.state();
  },

  reload() {
    setTimeout(() => location.reload(), 0);
    return true;
  },
};

const SQUARE = "qr_code";
const readsSquares = async () => Boolean(globalThis.BarcodeDetector)
  && (await BarcodeDetector.getSupportedFormats()).includes(SQUARE);

// One file that the person chooses; null when they think better of it.
const chosen = (how) => new Promise((resolve) => {
  const input = Object.assign(document.createElement("input"), { type: "file", ...how });
  input.addEventListener("cancel", () => resolve(null));
  input.addEventListener("change", () => resolve(input.files[0]));
  input.click();
});

// Whether a voice works without a network and speaks this language.
const worksHere = (voice, lang) => voice.localService && voice.lang.startsWith(lang || "");

function fileOf({ name, type, text, base64 }) {
  const body = base64 === undefined
    ? text
    : Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  return new File([body], name, { type });
}

function about() {
  const likes = (query) => matchMedia(`(${query})`).matches;
  const parts = new Intl.NumberFormat(navigator.language).formatToParts(1.5);
  return {
    build: BUILD,
    secure: isSecureContext,
    installed: likes("display-mode: standalone") || navigator.standalone === true,
    installable: installation.prompt !== null,
    visible: document.visibilityState === "visible",
    online: navigator.onLine,
    dark: likes("prefers-color-scheme: dark"),
    still: likes("prefers-reduced-motion: reduce"),
    contrast: likes("prefers-contrast: more"),
    // Browsers that never offer it by themselves say instead whether it was done by their menu.
    share_menu: "standalone" in navigator,
    touch: navigator.maxTouchPoints > 0,
    language: navigator.language,
    decimal_mark: (parts.find(({ type }) => type === "decimal") || { value: "." }).value,
  };
}

// --- the screen stays awake while Python wants it to ------------------------------------------

const wake = {
  wanted: false,
  lock: null,

  async hold() {
    need(navigator.wakeLock, "way to keep the screen on");
    if (wake.lock) return true;
    wake.lock = await navigator.wakeLock.request("screen");
    wake.lock.addEventListener("release", () => { wake.lock = null; });
    return true;
  },

  async release() {
    if (wake.lock) await wake.lock.release();
    return false;
  },
};

// --- events that the page reports without being asked -----------------------------------------

const tellPython = (message) => {
  bench.worker?.postMessage({ text: JSON.stringify(message) });
};
const news = (event, value) => tellPython({ event, value });

document.addEventListener("visibilitychange", () => {
  const visible = document.visibilityState === "visible";
  news("visible", visible);
  if (visible && wake.wanted) wake.hold().catch(() => {});
  if (visible) kept.lookIfLongAgo();
});
addEventListener("online", () => { news("online", true); kept.look(); });
addEventListener("hashchange", () => {
  shortcut.come(takeLink());
  if (link.code) news("link", true);
});
addEventListener("offline", () => news("online", false));
for (const query of ["prefers-color-scheme: dark", "prefers-reduced-motion: reduce",
  "prefers-contrast: more", "display-mode: standalone"]) {
  matchMedia(`(${query})`).addEventListener("change", () => news("about", about()));
}

const installation = { prompt: null };
addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  installation.prompt = event;
  news("about", about());
});
addEventListener("appinstalled", () => news("about", about()));
bench.events.addEventListener("news", ({ detail }) => news(detail.event, detail.value));

// --- what a shortcut of the device or the link of a label asks for ----------------------------

const SHORTCUTS = {
  check: say("Go to the quick check? What was answered here is kept; what is half typed is not."),
  job: say("Go to a new job? What was answered here is kept; what is half typed is not."),
  label: say("Go to the instrument of that label? What was answered here is kept; what is half "
    + "typed is not."),
};

// At home a shortcut is followed at once, as a touch there would be; anywhere else the person is asked
// first.
const shortcut = {
  way: "",

  come(way) {
    if (!way) return;
    shortcut.way = way;
    if (kept.quiet) shortcut.go();
    else if (document.documentElement.dataset.booted) shortcut.ask(way);
  },

  ask(way) {
    shortcut.way = way;
    byId("wanted").firstElementChild.textContent = SHORTCUTS[way] || SHORTCUTS.label;
    byId("wanted").hidden = false;
  },

  go() {
    news("wanted", shortcut.way);
    shortcut.stay();
  },

  stay() {
    shortcut.way = "";
    byId("wanted").hidden = true;
  },

  // Called when another screen is shown. A shortcut that came while the app was opening is followed or
  // asked about now; a question that is still open is withdrawn once home is shown.
  settle() {
    if (!shortcut.way) return;
    if (byId("wanted").hidden) shortcut.come(shortcut.way);
    else if (kept.quiet) shortcut.stay();
  },
};

addEventListener("DOMContentLoaded", () => {
  byId("go").addEventListener("click", () => shortcut.go());
  byId("stay").addEventListener("click", () => shortcut.stay());
});
// The browser tells a window that is already open which shortcut was used. What it tells before the app
// has started was in the page's own address, or belongs to the page before a reload.
globalThis.launchQueue?.setConsumer(({ targetURL }) => {
  if (document.documentElement.dataset.booted) shortcut.come(bench.wanted(targetURL || ""));
});

// --- answering --------------------------------------------------------------------------------

bench.events.addEventListener("ask", async ({ detail }) => {
  const { id, ask, with: given } = JSON.parse(detail.text);
  tellPython({ id, ...(await outcome(ask, given || {})) });
});

async function outcome(ask, given) {
  try {
    if (!Object.hasOwn(asks, ask)) throw new Absent(`this page cannot ${ask}`);
    return { state: "ok", value: await asks[ask](given), why: "" };
  } catch (error) {
    const state = error instanceof Absent ? "absent" : "refused";
    return { state, value: null, why: String(error.message || error) };
  }
}
