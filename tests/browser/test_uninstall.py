"""The app taken away again: its copy and worker go from devices that have it, the records stay."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Page, Route

from logic.history.exchange.portable import unpack
from mobile.publish.build import NUTWRIGHT
from mobile.publish.uninstall import build_uninstall_site
from shared.bootstrap import ROOT
from tests.browser.hand import BrowserHand, begin, press, settled, shows
from tests.browser.harness import Visit, kept, serving, until, visiting

HEIGHTS_MM = {6: 0.9, 5: 0.45, 4: 0.9, 3: 0.45, 2: 0.9, 1: 0.4}
TITLE = "Nutwright was taken away from this address"
TAKEN_AWAY = f"() => document.body.innerText.includes('{TITLE}')"
NOTHING_LEFT = """async () => (await caches.keys()).length === 0
    && (await navigator.serviceWorker.getRegistrations()).length === 0"""
FILES = """async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('nutwright-history');
    const sizes = {};
    for await (const [name, handle] of folder.entries()) {
        sizes[name] = (await handle.getFile()).size;
    }
    return sizes;
}"""


@pytest.fixture
def host(app_site: Path, tmp_path: Path) -> Path:
    """A host's folder with the app in it, to be changed."""
    return Path(shutil.copytree(app_site, tmp_path / "host"))


@pytest.fixture
def work(visit: Visit) -> BrowserHand:
    """A hand that knows how its strings stand."""
    return BrowserHand(HEIGHTS_MM)


def take_away(host: Path) -> None:
    """Put the other site in its place, at the same address."""
    build_uninstall_site(NUTWRIGHT, host)


def recorded(page: Page, hand: BrowserHand, answers: int) -> None:
    """A job under the hands, with this many answers given."""
    begin(page)
    for _ in range(answers):
        hand.answer(page)


def handed_out(page: Page, mark: str) -> bytes:
    """The file that the button of this name leads to."""
    with page.expect_download() as coming:
        page.get_by_role("button", name=mark).first.click()
    return Path(coming.value.path()).read_bytes()


def export(page: Page) -> bytes:
    """The app's own copy of everything."""
    press(page, "records")
    shows(page, "share-history")
    settled(page)
    with page.expect_download() as coming:
        press(page, "share-history")
    return Path(coming.value.path()).read_bytes()


def on_a_app(*words: str) -> subprocess.CompletedProcess[str]:
    """The command line, on a history of its own."""
    command = [sys.executable, "-m", "logic", "history", *words]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


def visited_again(page: Page, address: str) -> None:
    """Open it until the new page comes: the first time the device may still have the old one."""
    until(page, "async () => (await navigator.serviceWorker.getRegistrations()).length > 0")
    page.evaluate("async () => { await (await navigator.serviceWorker.ready).update(); }")
    page.wait_for_timeout(500)
    page.goto("about:blank")
    page.goto(address)
    page.wait_for_function(TAKEN_AWAY)


def test_the_app_goes_and_what_was_recorded_comes_out_whole(
    visit: Visit, host: Path, work: BrowserHand, tmp_path: Path
) -> None:
    """Installed and worked with; then the other site stands at its address. What it hands out is
    what the app would have handed out and more, the command line takes all of it in, and no byte of
    the records is changed; nothing of the app is left, with or without a network."""
    with serving(host) as server:
        page = visit.open(server.address).page
        shows(page, "new-job")
        kept(page)
        recorded(page, work, 5)
        before = settled(page)
        press(page, "back")
        shows(page, "records")
        known = {event.id: event.digest for event in unpack(export(page)).events}
        take_away(host)
        page.evaluate("() => kept.look()")
        page.wait_for_timeout(1500)
        press(page, "back")
        shows(page, "new-job")
        page.locator('[flt-semantics-identifier^="job-"]').first.click()
        shows(page, "asked")
        assert settled(page) == before  # the open page goes on
        work.answer(page)
        visited_again(page, server.address)

        until(page, NOTHING_LEFT)
        page.get_by_text("entries are on this device").wait_for()
        kept_files = page.evaluate(FILES)
        file = tmp_path / "left-behind.txt"
        file.write_bytes(handed_out(page, "Hand out a copy of everything"))
        page.get_by_text("is among the downloads").wait_for()
        assert page.evaluate(FILES) == kept_files
        parcel = unpack(file.read_bytes())
        told = {event.id: event.digest for event in parcel.events}
        assert known.items() < told.items()
        assert parcel.complete

        server.kill()
        visit.context.set_offline(True)
        page.goto("about:blank")
        with pytest.raises(Error, match="ERR_"):
            page.goto(server.address)

    folder = str(tmp_path / "app")
    checked = on_a_app("check", str(file))
    assert checked.returncode == 0, checked.stdout + checked.stderr
    taken = on_a_app("import", str(file), "--folder", folder)
    assert taken.returncode == 0, taken.stderr
    back = tmp_path / "back.txt"
    assert on_a_app("export", str(back), "--folder", folder).returncode == 0
    assert {event.id: event.digest for event in unpack(back.read_bytes()).events} == told


def test_a_device_without_records_is_told_so(visit: Visit, host: Path) -> None:
    """Nothing was recorded, or nobody was ever here: there is nothing to hand out, and no error."""
    take_away(host)
    with serving(host, "/shop/bench/") as server:
        page = visit.page
        page.goto(server.address)
        page.get_by_text("No records of Nutwright are on this device.").wait_for()
        assert not page.get_by_role("button").count()
        assert visit.outside(server.address) == []
        assert page.evaluate("async () => (await indexedDB.databases()).length") == 0
        assert [said for said in visit.said if "error" in said.lower()] == []


def test_a_neighbour_on_the_same_host_stays(visit: Visit, host: Path, app_site: Path) -> None:
    """Two sites under one host: the one that stays keeps its copy and starts without a network."""
    both = host.parent / "both"
    shutil.copytree(app_site, both / "stays")
    shutil.move(host, both / "goes")
    (both / "precache.json").write_text("{}", encoding="utf-8")  # our server serves sites alone
    with serving(both) as server:
        for name in ("stays", "goes"):
            visit.keep(f"{server.address}{name}/")
        take_away(both / "goes")
        visited_again(visit.page, f"{server.address}goes/")
        until(visit.page, "async () => (await caches.keys()).every((n) => n.includes('stays'))")
        server.kill()
        visit.context.set_offline(True)
        visit.open(f"{server.address}stays/")


def test_a_page_that_still_opens_gets_its_files_to_the_end(visit: Visit, host: Path) -> None:
    """The worker changes under the app while it starts: the start goes through, from the copy."""
    with serving(host) as server:
        page = visit.keep(server.address).page
        take_away(host)
        page.evaluate("async () => { await (await navigator.serviceWorker.ready).update(); }")
        until(page, "async () => (await navigator.serviceWorker.ready).waiting === null")
        parts = "['app.zip', 'main.dart.js', 'rest.zip', 'worker.js?first']"
        found = page.evaluate(
            f"async () => (await Promise.all({parts}.map((path) => fetch(path)))).map((r) => r.ok)"
        )
        assert found == [True] * 4


def test_without_a_network_the_way_to_the_records_is_said(visit: Visit, host: Path) -> None:
    """The new worker is there, its page was never loaded, and the network is gone."""
    with serving(host) as server:
        page = visit.keep(server.address).page
        take_away(host)
        page.evaluate("async () => { await (await navigator.serviceWorker.ready).update(); }")
        page.wait_for_timeout(1000)
        server.kill()
        visit.context.set_offline(True)
        page.goto(server.address)
        page.wait_for_function(TAKEN_AWAY)
        assert "The records on this device are untouched." in page.inner_text("body")
        visit.context.set_offline(False)
        server.start()
        page.goto(server.address)
        page.get_by_text("The app no longer runs here.").wait_for()
        until(page, NOTHING_LEFT)


def test_records_in_the_browsers_database_come_out_too(
    visit: Visit, host: Path, work: BrowserHand
) -> None:
    """A browser without private files kept them in its database: the same file comes out."""
    visit.context.add_init_script("delete StorageManager.prototype.getDirectory;")
    visit.context.route("**/worker.js*", _without_private_files)
    with serving(host) as server:
        page = visit.open(server.address).page
        recorded(page, work, 2)
        press(page, "back")
        shows(page, "records")
        known = {event.id for event in unpack(export(page)).events}
        take_away(host)
        page.goto("about:blank")
        page.goto(server.address)
        page.get_by_text("entries are on this device").wait_for()
        parcel = unpack(handed_out(page, "Hand out a copy of everything"))
        assert parcel.complete and known <= {event.id for event in parcel.events}


def _without_private_files(route: Route) -> None:
    """The app's worker in a browser that has no private file system."""
    answer = route.fetch()
    lacks = "delete StorageManager.prototype.getDirectory;\n"
    route.fulfill(response=answer, body=lacks + answer.text())


def test_the_page_speaks_the_readers_language(browser: Browser, host: Path) -> None:
    """A German browser reads it in German, headings and all."""
    take_away(host)
    with serving(host) as server, visiting(browser, locale="de-DE") as visit:
        visit.page.goto(server.address)
        visit.page.get_by_text("sind keine Aufzeichnungen").wait_for()
        assert visit.page.evaluate("() => document.documentElement.lang") == "de"
        said = visit.page.inner_text("body")
        assert "genommen" in said and "taken away" not in said
