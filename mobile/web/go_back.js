// Rolling back to a build before this one, when this one does not start. The publisher puts this behind
// sw.js, in one file with it.
"use strict";

let chosen = null;

// The copy that answers: this build's, or that of one before it after a rollback.
async function servingCopy() {
  if (chosen === null) {
    const noted = await rolledBack();
    chosen = (noted && await earlierIn(noted.to)) || own;
  }
  return chosen;
}

// To which cache this build was rolled back, and why: `{to, why}`; null where it was not, and where the
// note is none that a worker of this build writes.
async function rolledBack() {
  const noted = await (await caches.open(NOTES)).match(scope + BUILD);
  const told = noted && await noted.json().catch(() => null);
  if (!told || !EARLIER.some(({ build }) => PREFIX + build === told.to)) return null;
  return { to: told.to, why: String(told.why).slice(0, WHY_LENGTH) };
}

async function rollBack(to, why) {
  const noted = JSON.stringify({ to: to.name, why });
  await (await caches.open(NOTES)).put(scope + BUILD, new Response(noted));
  chosen = to;
}

async function endRollback() {
  await (await caches.open(NOTES)).delete(scope + BUILD);
  chosen = own;
}

// The copy of the latest build before this one that is kept and whose list has the digest known here;
// null where there is none.
async function earlierCopy() {
  for (const { build } of EARLIER) {
    const found = await earlierIn(PREFIX + build);
    if (found) return found;
  }
  return null;
}

async function earlierIn(name) {
  const known = EARLIER.find(({ build }) => PREFIX + build === name);
  const kept = known && await caches.match(LISTING, { cacheName: name });
  const { files } = (kept && await kept.json().catch(() => null)) || {};
  if (!Array.isArray(files) || !files.every(isListed)) return null;
  return await digestOf(files) === known.digest ? copyOf(known.build, files) : null;
}

const isListed = (file) => /^[^\n]+$/.test(file?.path) && /^[0-9a-f]{64}$/.test(file?.sha256);

// The digest of a build: of the paths and hashes of its files, a line each, in order.
function digestOf(files) {
  const lines = files.map(({ path, sha256: hash }) => `${path}\n${hash}\n`).sort();
  return sha256(new TextEncoder().encode(lines.join("")));
}

// Deletes the notes and copies that are neither this build's nor those of a build that it may give way
// to, and these too once this one `runs`; none while a newer build is waiting.
async function tidy(runs) {
  const comes = () => self.registration.waiting || self.registration.installing;
  if (comes()) return;
  const known = runs ? [] : EARLIER.map(({ build }) => PREFIX + build);
  for (const name of await caches.keys()) {
    const stays = name === CACHE || name === NOTES || known.includes(name);
    if (name.startsWith(PREFIX) && !stays && !comes()) await caches.delete(name);
  }
  if (runs || !await rolledBack()) await endRollback();
  const notes = await caches.open(NOTES);
  const ours = ["engine", "recovery", BUILD].map((name) => scope + name);
  for (const { url } of await notes.keys()) if (!ours.includes(url)) await notes.delete(url);
}
