"""A host that was evil for an hour leaves nothing behind: what it may have put into a browser's
storage is verified before it is used, and dropped; records are not touched by any of it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

from mobile.publish.build import build
from mobile.publish.builds import lineage_after, published
from mobile.publish.recover import build_recovery
from tests.browser.broken_builds import BROKEN, broken_build
from tests.browser.harness import (
    PLAIN,
    Visit,
    finds_update,
    newer_build,
    ready,
    serving,
    takes_update,
    until,
    wait_for_text,
)

RECOVERY = "0123456789abcdef"
RAN = "() => localStorage.getItem('planted') === 'ran'"
EVIL_SCRIPT = "localStorage.setItem('planted', 'ran');"
EVIL_PAGE = f"<!DOCTYPE html><title>evil</title><p>evil</p><script>{EVIL_SCRIPT}</script>"
PUT = """async ([name, path, text, headers]) => {
    const cache = await caches.open(name);
    const url = new URL(path, document.baseURI).href;
    const old = await cache.match(url);
    await cache.put(url, new Response(text ?? await old.arrayBuffer(), { headers }));
}"""
HELD = """async ([name, path]) => {
    const found = await caches.match(new URL(path, document.baseURI).href, { cacheName: name });
    if (!found) return null;
    const bytes = new Uint8Array(await crypto.subtle.digest('SHA-256', await found.arrayBuffer()));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}"""
RECORD = """async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('nutwright-history', { create: true });
    const file = await folder.getFileHandle('journal-000001.txt', { create: true });
    const writing = await file.createWritable();
    await writing.write('an answer');
    await writing.close();
    await new Promise((resolve, reject) => {
        const request = indexedDB.open('nutwright-history', 1);
        request.onerror = reject;
        request.onupgradeneeded = () => request.result.createObjectStore('pieces');
        request.onsuccess = () => {
            const act = request.result.transaction('pieces', 'readwrite');
            act.objectStore('pieces').put('another', ['journal-000001.txt', 1]);
            act.oncomplete = () => { request.result.close(); resolve(); };
        };
    });
    localStorage.setItem('nutwright.records', 'yes');
}"""
RECORDED = """async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('nutwright-history');
    const file = await (await folder.getFileHandle('journal-000001.txt')).getFile();
    const piece = await new Promise((resolve, reject) => {
        const request = indexedDB.open('nutwright-history', 1);
        request.onerror = reject;
        request.onsuccess = () => {
            const asked = request.result.transaction('pieces').objectStore('pieces').getAll();
            asked.onsuccess = () => { request.result.close(); resolve(asked.result); };
        };
    });
    return [await file.text(), piece, localStorage.getItem('nutwright.records')];
}"""
WHAT_WAS_RECORDED = ["an answer", ["another"], "yes"]
TAKEN_BY = """(name) => {
    navigator.serviceWorker.addEventListener('controllerchange', () => { window.taken = true; });
    navigator.serviceWorker.register(name);
}"""
EVIL_WORKER = f"""
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {{
    if (event.request.mode !== "navigate") return;
    const headers = {{ "Content-Type": "text/html" }};
    event.respondWith(new Response({json.dumps(EVIL_PAGE)}, {{ headers }}));
}});
"""
LEAVE_BEHIND = """async () => {
    for (const name of ['nutwright / ffffffffffffffff', 'anything']) {
        await (await caches.open(name)).put(location.href, new Response('evil'));
    }
    const notes = await caches.open('nutwright / notes');
    await notes.put(new URL('recovery', location.href).href, new Response('guessed'));
    localStorage.setItem('nutwright.porch', 'evil');
    localStorage.removeItem('planted');
    await navigator.serviceWorker.register('other.js', { scope: '/worker.js' });
}"""
LEFT = """async () => ({
    caches: (await caches.keys()).sort(),
    notes: (await (await caches.open('nutwright / notes')).keys()).map(({ url }) => url).sort(),
    scopes: (await navigator.serviceWorker.getRegistrations()).map(({ scope }) => scope),
    porch: localStorage.getItem('nutwright.porch') === 'evil',
})"""


@pytest.fixture
def hosted(plain_site: Path, tmp_path: Path) -> Path:
    """A copy of the plain site that a test may damage or replace."""
    return Path(shutil.copytree(plain_site, tmp_path / "host"))


def kept_in(site: Path) -> str:
    """The name of the cache with the copy of a site served at the top of its host."""
    return f"nutwright / {published(site).build}"


def hash_of(site: Path, path: str) -> str:
    """The hash under which a file was published."""
    listing = json.loads((site / "precache.json").read_text(encoding="utf-8"))
    return next(str(file["sha256"]) for file in listing["files"] if file["path"] == path)


@pytest.mark.parametrize(
    ("path", "text", "type_"),
    [
        ("index.html", EVIL_PAGE, "text/html; charset=utf-8"),
        ("python.js", EVIL_SCRIPT, "text/javascript; charset=utf-8"),
        ("icons/icon-48.png", "evil", "image/png"),
    ],
)
def test_what_was_altered_in_the_copy_is_not_run_and_is_fetched_anew(
    visit: Visit, hosted: Path, path: str, text: str, type_: str
) -> None:
    """Page, script or picture: the next start drops it, fetches what was published and tells how
    many files that were; what was recorded stays as it was."""
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        page.evaluate(RECORD)
        page.evaluate(PUT, [kept_in(hosted), path, text, {"Content-Type": type_}])
        visit.reload()
        wait_for_text(page, "Plain page")
        for _ in range(100):
            if page.evaluate(HELD, [kept_in(hosted), path]) == hash_of(hosted, path):
                break
            page.wait_for_timeout(100)
        assert page.evaluate(HELD, [kept_in(hosted), path]) == hash_of(hosted, path)
        assert not page.evaluate(RAN)
        until(page, "async () => (await kept.ask({ say: 'copies' })).altered.length === 1")
        assert page.evaluate(RECORDED) == WHAT_WAS_RECORDED
        assert page.evaluate("() => asks.digest()") == published(hosted).digest


def test_a_page_that_was_altered_is_told_of_without_a_network(visit: Visit, hosted: Path) -> None:
    """It is not shown: what is wrong, what is safe and what to do is, and with a network the way
    back leads to the app."""
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        page.evaluate(
            PUT, [kept_in(hosted), "index.html", EVIL_PAGE, {"Content-Type": "text/html"}]
        )
        server.kill()
        page.goto(server.address)
        heading = "The copy of the app on this device was altered"
        page.get_by_role("heading", name=heading).wait_for()
        assert "it was not run" in page.inner_text("body")
        server.start()
        page.get_by_role("link", name="Try again").click()
        wait_for_text(page, "Plain page")
        assert not page.evaluate(RAN)


def test_what_a_host_wrote_around_the_page_is_not_handed_on(visit: Visit, hosted: Path) -> None:
    """The page as it was published with a header that leads elsewhere: only the page is used."""
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        headers = {"Content-Type": "text/html; charset=utf-8", "Refresh": "0; url=version.json"}
        page.evaluate(PUT, [kept_in(hosted), "index.html", None, headers])
        visit.reload()
        wait_for_text(page, "Plain page")
        page.wait_for_timeout(500)
        assert page.url == server.address


def test_a_host_that_alters_files_finds_no_way_past_the_worker(visit: Visit, hosted: Path) -> None:
    """The browser cleared the copy, and what the host sends in its place is not what the worker
    knows: it is not run, and the app comes once the host sends what was published."""
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        page.evaluate("() => caches.delete('nutwright / ' + BUILD)")
        honest = (hosted / "index.html").read_bytes()
        for copy in hosted.glob("index.html*"):
            copy.unlink()
        (hosted / "index.html").write_text(EVIL_PAGE, encoding="utf-8")
        page.goto(server.address)
        page.get_by_role("heading", name="The app is not on this device").wait_for()
        (hosted / "index.html").write_bytes(honest)
        page.get_by_role("link", name="Try again").click()
        wait_for_text(page, "Plain page")
        assert not page.evaluate(RAN)


def test_where_the_copy_is_gone_a_newer_build_takes_over(
    visit: Visit, hosted: Path, tmp_path: Path
) -> None:
    """The browser cleared the copy and the host has the next build: that one comes by itself."""
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        newer_build(tmp_path / "newer", hosted)
        page.evaluate("() => caches.delete('nutwright / ' + BUILD)")
        page.goto(server.address)
        wait_for_text(page, "Newer page")


def test_a_note_that_leads_to_another_copy_is_dropped(visit: Visit, hosted: Path) -> None:
    """A note that this build gave way to a copy that none published: the build runs, and note and
    copy are gone after the start."""
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        forged = "nutwright / ffffffffffffffff"
        page.evaluate(PUT, [forged, "index.html", EVIL_PAGE, {"Content-Type": "text/html"}])
        note = json.dumps({"to": forged, "why": "x"})
        page.evaluate(PUT, ["nutwright / notes", published(hosted).build, note, {}])
        page.evaluate(PUT, ["nutwright / notes", "other", "x", {}])
        _restart_worker(page)
        page.goto(server.address)
        wait_for_text(page, "Plain page")
        until(page, f"async () => !(await caches.keys()).includes('{forged}')")
        until(
            page,
            "async () => (await (await caches.open('nutwright / notes')).keys()).length === 1",
        )
        assert not page.evaluate(RAN)


def _restart_worker(page: Page) -> None:
    """End the site's worker as a browser does with one that is idle."""
    session = page.context.new_cdp_session(page)
    session.send("ServiceWorker.enable")
    session.send("ServiceWorker.stopAllWorkers")
    session.detach()


def test_a_copy_laid_out_for_a_build_to_come_is_not_taken(
    visit: Visit, hosted: Path, tmp_path: Path
) -> None:
    """Files that lie ready under the next build's name are verified like any other."""
    newer = newer_build(tmp_path / "source", tmp_path / "newer", lineage_after(hosted))
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        page.evaluate(
            PUT, [kept_in(newer), "python.js", EVIL_SCRIPT, {"Content-Type": "text/javascript"}]
        )
        shutil.rmtree(hosted)
        shutil.copytree(newer, hosted)
        finds_update(page)
        assert page.evaluate(HELD, [kept_in(newer), "python.js"]) == hash_of(newer, "python.js")


def test_a_build_goes_back_to_no_copy_that_was_altered(
    visit: Visit, hosted: Path, shared_folder: Path
) -> None:
    """The build before is known, and what lies under its name is not it, list and all: the newer
    build that does not start says so, and the other is not run."""
    newer = broken_build(shared_folder, next(iter(BROKEN)))
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        before = kept_in(hosted)
        _publish(hosted, newer)
        finds_update(page)
        page.evaluate(PUT, [before, "index.html", EVIL_PAGE, {"Content-Type": "text/html"}])
        takes_update(page)
        page.get_by_text("The app did not start").wait_for()
        page.wait_for_timeout(500)
        assert not page.evaluate(RAN)


def test_a_build_goes_back_to_none_that_it_does_not_list(
    visit: Visit, hosted: Path, tmp_path: Path
) -> None:
    """A build published without a predecessor offers none, whatever the device kept."""
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        _publish(hosted, newer_build(tmp_path / "source", tmp_path / "whole"))
        finds_update(page)
        takes_update(page)
        ready(page)
        assert page.evaluate("async () => (await kept.ask({ say: 'copies' })).earlier") is None


def _publish(host: Path, site: Path) -> None:
    shutil.rmtree(host)
    shutil.copytree(site, host)


def _recovered(host: Path, _tmp_path: Path) -> None:
    """What the operator publishes first."""
    build_recovery(PLAIN, host, RECOVERY)


def _next_after_it(host: Path, tmp_path: Path) -> None:
    """What a device finds that comes back when the next build is out."""
    build_recovery(PLAIN, tmp_path / "recovered", RECOVERY)
    build(PLAIN, host, lineage=lineage_after(tmp_path / "recovered"))


@pytest.mark.parametrize(("name", "publish"), [("sw.js", _recovered), ("other.js", _next_after_it)])
def test_after_an_evil_hour_nothing_of_it_is_left(
    visit: Visit, hosted: Path, tmp_path: Path, name: str, publish: Callable[[Path, Path], None]
) -> None:
    """The host's own worker takes every page, under whatever address, and lays out copies, notes
    and a second worker. Then what the operator publishes stands there: the app runs again by
    itself and says what to see to, nothing of that hour is left, and the records are."""
    with serving(hosted) as server:
        page = visit.keep(server.address).page
        page.evaluate(RECORD)
        for evil in {name, "other.js"}:
            (hosted / evil).write_text(EVIL_WORKER, encoding="utf-8")
        (hosted / "sw.js.gz").unlink()
        (hosted / "sw.js.br").unlink(missing_ok=True)
        page.evaluate(TAKEN_BY, name)
        page.wait_for_function("() => window.taken")
        page.goto(server.address)
        page.wait_for_function("() => document.title === 'evil'")
        page.evaluate(LEAVE_BEHIND)

        publish(hosted, tmp_path)
        page.goto(server.address, wait_until="commit")
        page.get_by_text("The host of this app was in other hands for a time").wait_for()
        page.get_by_role("button", name="Go on").click()
        wait_for_text(page, "Plain page")
        address = server.address
        until(page, "async () => (await navigator.serviceWorker.getRegistrations()).length === 1")
        found = page.evaluate(LEFT)
        assert found["caches"] == sorted([kept_in(hosted), "nutwright / notes"])
        assert set(found["notes"]) <= {f"{address}recovery", f"{address}engine"}
        assert found["scopes"] == [address]
        assert not found["porch"]
        assert page.evaluate(RECORDED) == WHAT_WAS_RECORDED
        page.evaluate("() => localStorage.removeItem('planted')")
        visit.reload()
        assert not page.locator("#notice").is_visible()
        assert not page.evaluate(RAN)
