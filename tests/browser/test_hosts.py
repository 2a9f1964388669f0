"""Hosts that do it wrong: each ends in an app that works or in plain words, never a blank page."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Page

from mobile.publish.serve import SiteHandler, SiteServer
from tests.browser.harness import Visit, finds_update, newer_build, takes_update, wait_for_text
from tests.browser.test_site import NO_COPY

STATE = "() => kept.state()"
NOTICE = "#notice:not([hidden])"
ENGINE = "canvaskit/chromium/canvaskit.wasm"
DAY = "public, max-age=86400"
Change = Callable[[str, dict[str, str], bytes], tuple[dict[str, str], bytes]]


class Odd(SiteHandler):
    """Sends what a careful host would, changed by `change` on the way out."""

    change: Change

    def _send(self, status, headers, body, with_body):  # type: ignore[no-untyped-def]
        name = self.path.split("?")[0].removeprefix(self.base) or "index.html"
        headers, body = type(self).change(name, dict(headers), body)
        super()._send(status, headers, body, with_body)


@contextmanager
def hosting(site: Path, change: Change) -> Iterator[str]:
    """The address of a host that changes what it sends."""
    kind = type("OddHost", (Odd,), {"change": staticmethod(change)})
    with running(SiteServer(("127.0.0.1", 0), partial(kind, site.resolve(), "/"))) as address:
        yield address


@contextmanager
def running(server: ThreadingHTTPServer) -> Iterator[str]:
    """The address of a server that runs for as long as this lasts."""
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://localhost:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()


def typed(kind: str, *endings: str) -> Change:
    """A host that names `kind` as the type of files with these endings."""

    def change(name: str, headers: dict[str, str], body: bytes) -> tuple[dict[str, str], bytes]:
        if name.endswith(endings):
            headers |= {"Content-Type": kind}
            headers.pop("X-Content-Type-Options", None)
        return headers, body

    return change


def flipped(path: str) -> Change:
    """A host on which one byte in the middle of `path` went bad."""

    def change(name: str, headers: dict[str, str], body: bytes) -> tuple[dict[str, str], bytes]:
        if name == path and body:
            middle = len(body) // 2
            body = body[:middle] + bytes([body[middle] ^ 1]) + body[middle + 1 :]
        return headers, body

    return change


def said_plainly(visit: Visit, address: str) -> str:
    """What the notice says on a page that cannot start."""
    visit.page.goto(address)
    visit.page.wait_for_selector(NOTICE)
    return visit.page.inner_text(NOTICE)


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/octet-stream"], ids=["as text", "as bytes"]
)
def test_wrong_types_of_data_are_put_right_in_the_copy(
    visit: Visit, plain_site: Path, kind: str
) -> None:
    """Wasm, JSON and archives under a wrong type: it starts, and from the copy with the right."""
    with hosting(plain_site, typed(kind, ".wasm", ".json", ".zip", ".woff2")) as address:
        visit.keep(address)
        wasm = visit.page.evaluate(
            "async () => (await fetch('pyodide/pyodide.asm.wasm')).headers.get('Content-Type')"
        )
        assert wasm == "application/wasm"
    visit.context.set_offline(True)
    visit.reload()
    assert visit.page.evaluate("() => bench.engine") == "chromium"
    wait_for_text(visit.page, "Plain page")


def test_scripts_of_a_wrong_type_are_said(visit: Visit, plain_site: Path) -> None:
    """Modules named as plain text are refused by browsers: the page says what did not load."""
    with hosting(plain_site, typed("text/plain", ".js", ".mjs")) as address:
        assert "The app did not start" in said_plainly(visit, address)


def test_a_host_that_names_a_packing_it_did_not_do_is_said(visit: Visit, plain_site: Path) -> None:
    """Archives sent as they are but called gzip cannot be unpacked by the browser."""

    def change(name: str, headers: dict[str, str], body: bytes) -> tuple[dict[str, str], bytes]:
        return (headers | {"Content-Encoding": "gzip"} if name.endswith(".zip") else headers), body

    with hosting(plain_site, change) as address:
        assert ".zip could not be fetched" in said_plainly(visit, address)


def keeps_nothing(page: Page) -> None:
    """The page says that it did not start, or the copy why it is refused; nothing is kept."""
    page.wait_for_function(
        f"() => document.querySelector('{NOTICE}') || kept.state().refusal !== ''"
    )
    assert page.evaluate(NO_COPY)


@pytest.mark.parametrize(
    "path", ["app.zip", "packages.zip", "pyodide/pyodide.asm.wasm", "pyodide/python_stdlib.zip"]
)
def test_a_byte_flipped_on_the_way_to_a_first_visit_is_said(
    visit: Visit, plain_site: Path, path: str
) -> None:
    """A damaged part of Python either does no harm to the start and is refused by the copy, or
    the page says that the app did not start."""
    with hosting(plain_site, flipped(path)) as address:
        visit.page.goto(address)
        keeps_nothing(visit.page)


def test_misses_answered_with_the_index_page_spoil_no_update(
    visit: Visit, plain_site: Path, tmp_path: Path
) -> None:
    """A file missing from the host comes as the index page: the copy is refused and told why."""
    site = Path(shutil.copytree(plain_site, tmp_path / "site"))
    for gone in site.glob("version.json*"):
        gone.unlink()

    class Always(SiteHandler):
        def _file(self, name: str) -> Path | None:
            return super()._file(name) or self.site / "index.html"

    with running(SiteServer(("127.0.0.1", 0), partial(Always, site.resolve(), "/"))) as address:
        visit.page.goto(address)
        keeps_nothing(visit.page)


def test_a_day_in_every_cache_does_not_hold_an_update_back(
    visit: Visit, plain_site: Path, tmp_path: Path
) -> None:
    """Worker, list and files all marked to be kept for a day: the newer build comes all the same,
    whole."""
    site = Path(shutil.copytree(plain_site, tmp_path / "site"))

    def change(name: str, headers: dict[str, str], body: bytes) -> tuple[dict[str, str], bytes]:
        return headers | {"Cache-Control": DAY}, body

    with hosting(site, change) as address:
        visit.keep(address)
        shutil.rmtree(site)
        newer_build(tmp_path / "newer", site)
        finds_update(visit.page)
        takes_update(visit.page)
        wait_for_text(visit.page, "Newer page")


def test_a_first_visit_cut_off_is_made_good_by_the_next(visit: Visit, plain_site: Path) -> None:
    """The line drops while the copy is made: nothing half is kept, and the next visit keeps all."""
    cut = threading.Event()

    def change(name: str, headers: dict[str, str], body: bytes) -> tuple[dict[str, str], bytes]:
        # Once the worker itself is here, what it asks for arrives in halves.
        if name == "sw.js":
            cut.set()
        elif cut.is_set() and name == ENGINE:
            raise ConnectionResetError("the line dropped")
        return headers, body

    with hosting(plain_site, change) as address:
        visit.open(address)
        visit.page.wait_for_function("() => kept.state().refusal !== ''")
        assert visit.page.evaluate(NO_COPY)
        cut.clear()

    with hosting(plain_site, lambda _name, headers, body: (headers, body)) as address:
        visit.keep(address)


def test_a_clock_a_year_off_on_the_host_and_the_device(visit: Visit, plain_site: Path) -> None:
    """A host that dates everything a year ahead and a page a year behind: kept and started."""

    def change(name: str, headers: dict[str, str], body: bytes) -> tuple[dict[str, str], bytes]:
        dates = {"Last-Modified": "Mon, 06 Dec 2027 10:00:00 GMT", "Expires": "0"}
        return headers | dates, body

    visit.page.add_init_script(
        """const now = Date.now; Date.now = () => now() - 365 * 86400_000;"""
    )
    with hosting(plain_site, change) as address:
        visit.keep(address)
    visit.context.set_offline(True)
    visit.reload()
    wait_for_text(visit.page, "Plain page")


def test_the_plainest_static_host_will_do(visit: Visit, plain_site: Path, tmp_path: Path) -> None:
    """Python's own file server, below a sub-path: kept, started with the host dead, and nothing
    outside asked for."""
    shutil.copytree(plain_site, tmp_path / "shop" / "bench")
    handler = partial(Quiet, directory=str(tmp_path))
    with running(ThreadingHTTPServer(("127.0.0.1", 0), handler)) as root:
        address = root + "shop/bench/"
        visit.keep(address)
    visit.context.set_offline(True)
    visit.reload()
    wait_for_text(visit.page, "Plain page")
    assert visit.outside(address) == []


class Quiet(SimpleHTTPRequestHandler):
    """Packs nothing on the way, and says nothing of its own."""

    def log_message(self, format: str, *args: object) -> None:
        """Nobody reads it."""


class WithoutCopies(Quiet):
    """Its packed copies were left behind when the site was put there."""

    def do_GET(self) -> None:
        """A miss for each of them."""
        if self.path.endswith(".gz"):
            self.send_error(404)
        else:
            super().do_GET()


class IndexForCopies(Quiet):
    """The same, and it answers a miss with the index page."""

    def do_GET(self) -> None:
        """The index page for each of them."""
        if self.path.endswith(".gz"):
            self.path = "/index.html"
        super().do_GET()


class NamesThePacking(Quiet):
    """Sends a packed copy as what it holds, packed: browsers unpack it themselves."""

    def end_headers(self) -> None:
        """Name the packing."""
        if self.path.endswith(".gz"):
            self.send_header("Content-Encoding", "gzip")
        super().end_headers()


class DamagedCopies(Quiet):
    """Sends something else for each packed copy."""

    def do_GET(self) -> None:
        """A few bytes that are no archive."""
        if not self.path.endswith(".gz"):
            super().do_GET()
            return
        self.send_response(200)
        self.send_header("Content-Type", "application/gzip")
        self.send_header("Content-Length", "4")
        self.end_headers()
        self.wfile.write(b"bent")


ARCHIVES = ("app.zip", "packages.zip", "pyodide/python_stdlib.zip")
KEPT_BYTES = """async (path) => {
    const copy = await caches.match(new URL(path, document.baseURI).href);
    return copy ? (await copy.arrayBuffer()).byteLength : null;
}"""


@pytest.mark.parametrize("host", [Quiet, WithoutCopies, IndexForCopies, NamesThePacking])
def test_a_host_that_packs_nothing_sends_the_packed_copy_beside(
    visit: Visit, plain_site: Path, host: type[Quiet]
) -> None:
    """Archives come packed where a copy is beside them, else as they are; kept is what was
    published, and the drawing engine in the one build that this browser takes."""
    handler = partial(host, directory=str(plain_site))
    with running(ThreadingHTTPServer(("127.0.0.1", 0), handler)) as address:
        visit.keep(address)
        asked = [url for url in visit.requests if url.endswith(".zip.gz")]
        assert {f"{address}{path}.gz" for path in ARCHIVES} <= set(asked)
        for path in (*ARCHIVES, ENGINE):
            size = (plain_site / path).stat().st_size
            assert visit.page.evaluate(KEPT_BYTES, path) == size, path
        assert visit.page.evaluate(KEPT_BYTES, "canvaskit/canvaskit.wasm") is None
    visit.context.set_offline(True)
    visit.reload()
    wait_for_text(visit.page, "Plain page")
    assert visit.page.evaluate("() => bench.engine") == "chromium"


def test_a_damaged_packed_copy_is_said(visit: Visit, plain_site: Path) -> None:
    """Bytes that are no archive end in plain words, and nothing is kept."""
    handler = partial(DamagedCopies, directory=str(plain_site))
    with running(ThreadingHTTPServer(("127.0.0.1", 0), handler)) as address:
        assert ".zip could not be fetched whole" in said_plainly(visit, address)
        assert visit.page.evaluate(NO_COPY)


@pytest.mark.parametrize(
    ("lacks", "words"),
    [
        ("delete window.WebAssembly", "WebAssembly"),
        ("delete window.BigInt64Array", "64-bit numbers"),
        ("delete window.Worker", "workers"),
    ],
)
def test_a_browser_too_old_gets_a_clear_page(
    visit: Visit, plain_site: Path, lacks: str, words: str
) -> None:
    """What the browser lacks is named, and that nothing was changed."""
    visit.page.add_init_script(lacks)
    with hosting(plain_site, lambda _name, headers, body: (headers, body)) as address:
        said = said_plainly(visit, address)
        assert "too old" in said
        assert words in said
