// The page where the app was taken away: deletes its copy on this device, and hands out what was
// recorded, with nothing of the app left. Records are only ever read here.
"use strict";

const here = new URL("./", document.baseURI);
const byId = (id) => document.getElementById(id);

function stored(key) {
  try {
    return localStorage.getItem(`nutwright.${key}`);
  } catch {
    return null;
  }
}

const spoken = sayingIn(stored("language") || navigator.language || "");
const { say } = spoken;

// --- deleting the copy of the app -------------------------------------------------------------

async function deleteCopy() {
  const copies = globalThis.caches ? await caches.keys() : [];
  const own = copies.filter((name) => name.startsWith(`nutwright ${here.pathname} `));
  await Promise.all(own.map((name) => caches.delete(name)));
  const workers = navigator.serviceWorker ? await navigator.serviceWorker.getRegistrations() : [];
  const ours = workers.filter(({ scope }) => scope === here.href);
  await Promise.all(ours.map((worker) => worker.unregister()));
}

// --- the records, read from where the app keeps them ------------------------------------------

const STORE = "nutwright-history";
const SEGMENT = /^journal-\d{6,}\.txt$/;

// The pieces (bytes) of every segment of the journal, oldest segment first.
async function segments() {
  const files = (await privateFiles()) || (await database()) || new Map();
  const names = Array.from(files.keys()).filter((name) => SEGMENT.test(name));
  return names.sort((one, other) => numberOf(one) - numberOf(other))
    .map((name) => files.get(name));
}

const numberOf = (name) => Number(name.slice("journal-".length, -".txt".length));

// Name and content of the files in the private file system; null where there are none.
async function privateFiles() {
  if (!navigator.storage || !navigator.storage.getDirectory) return null;
  const files = new Map();
  try {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle(STORE);
    for await (const [name, handle] of folder.entries()) {
      if (SEGMENT.test(name)) files.set(name, [await (await handle.getFile()).arrayBuffer()]);
    }
  } catch (error) {
    if (["NotFoundError", "SecurityError"].includes(error.name)) return null;
    throw error;
  }
  const bytes = Array.from(files.values()).reduce((sum, [piece]) => sum + piece.byteLength, 0);
  return bytes > 0 ? files : null;
}

// The same from the database that stands in for it in some browsers.
async function database() {
  if (!globalThis.indexedDB) return null;
  const base = await opened();
  if (!base) return null;
  const pieces = base.transaction("pieces", "readonly").objectStore("pieces");
  const [keys, values] = await Promise.all(
    [settled(pieces.getAllKeys()), settled(pieces.getAll())],
  );
  base.close();
  const files = new Map();
  keys.forEach(([name], place) => files.set(name, [...(files.get(name) || []), values[place]]));
  return files;
}

// The database; null where there is none, and none is made then.
const opened = () => new Promise((resolve, reject) => {
  const request = indexedDB.open(STORE);
  request.onupgradeneeded = () => request.transaction.abort();
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => (request.error.name === "AbortError" ? resolve(null) : reject(request.error));
});

const settled = (request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

// --- the file ---------------------------------------------------------------------------------

const LEAD = "00000000 00000000 ".length;

// How many entries a segment holds. Damaged lines are not counted, but they are handed out too.
function entries(bytes) {
  const lines = new TextDecoder().decode(bytes).split("\n");
  return lines.reduce((sum, line) => sum + entriesOf(line.slice(LEAD)), 0);
}

function entriesOf(text) {
  try {
    return (JSON.parse(text).events || []).length;
  } catch {
    return 0;
  }
}

// The journal as it is stored, and a last line by which a reader sees that the file is complete.
async function everything() {
  const found = await segments();
  const whole = new Uint8Array(await new Blob(found.flat()).arrayBuffer());
  const count = found.reduce((sum, pieces) => sum + entries(joined(pieces)), 0);
  const last = count && crypto.subtle ? await end(count, whole) : "";
  return { count, size: whole.length, blob: new Blob([whole, last]) };
}

function joined(pieces) {
  const parts = pieces.map((piece) => new Uint8Array(piece));
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  parts.reduce((at, part) => { bytes.set(part, at); return at + part.length; }, 0);
  return bytes;
}

async function end(count, whole) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", whole));
  const sha256 = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  const text = JSON.stringify({ end: { events: count, sha256 } });
  const eight = (number) => number.toString(16).padStart(8, "0");
  return `${eight(text.length)} ${eight(crc32(text))} ${text}\n`;
}

// The CRC-32 of ASCII text, as in gzip and PNG.
function crc32(text) {
  let crc = 0xffffffff;
  for (const letter of text) {
    crc ^= letter.charCodeAt(0);
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (crc ^ 0xffffffff) >>> 0;
}

// --- what is shown and touched ----------------------------------------------------------------

function fileName() {
  const two = (number) => String(number).padStart(2, "0");
  const now = new Date();
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  return `nutwright-history-${day}-${two(now.getHours())}${two(now.getMinutes())}.txt`;
}

async function handOut(blob) {
  const file = new File([blob], fileName(), { type: "text/plain" });
  const share = { title: "Nutwright", files: [file] };
  if (navigator.canShare && navigator.canShare(share)) {
    try {
      await navigator.share(share);
      return say("{file} was handed on.", { file: file.name });
    } catch (error) {
      if (error.name === "AbortError") return say("Nothing was handed on.");
    }
  }
  download(file);
  return say("{file} is among the downloads.", { file: file.name });
}

function download(file) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

function offer({ count, size, blob }) {
  byId("found").textContent = size
    ? say("{count} entries are on this device.", { count: count.toLocaleString() })
    : say("No records of Nutwright are on this device.");
  byId("out").hidden = byId("after").hidden = !size;
  byId("out").addEventListener("click", async () => {
    byId("note").textContent = await handOut(blob);
  });
}

async function begin() {
  sayElements(spoken);
  await deleteCopy().catch((error) => console.error(error));
  try {
    offer(await everything());
  } catch (error) {
    byId("found").textContent = say("The records are there and could not be read: {why}. " +
      "Close every other tab of Nutwright and load this page again.", { why: error.message });
  }
}

begin();
