"""Drives a built site in Chromium the way a phone would, with a server that can be killed."""

from __future__ import annotations

import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic

from playwright.sync_api import Browser, BrowserContext, Page, Playwright

from mobile.publish.build import build
from mobile.publish.builds import Lineage
from mobile.publish.pack import FLET_WHEELS, PublishedApp
from shared.bootstrap import ROOT

FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # One made-up name leads here; any other leads nowhere.
    "--host-resolver-rules=MAP shop.example 127.0.0.1,MAP *.* ~NOTFOUND,EXCLUDE 127.0.0.1",
)
COMPILED_ONCE = "--js-flags=--liftoff-only"
"""WebAssembly is compiled by the first of the engine's two compilers alone: what it computes is the
same, and a page that lives for seconds gains nothing from the second (a start costs a fifth less
processor time). Benchmarks run without it."""
PHONE = {"width": 390, "height": 844}
AS_SHARP = {"device_scale_factor": 2}
"""A visit as sharp as on a phone, for benchmarks and pictures: two pixels to a logical one. Tests
draw one, which asks less of a processor that stands in for a graphics chip and leaves every place,
size and word as it is."""
PATIENCE_MS = 90_000
"""How long a boot may take on a machine that does other work at the same time."""

PLAIN = PublishedApp(
    root=ROOT / "tests" / "browser" / "plain",
    module="main",
    paths=("*.py",),
    name="Plain",
    description="A page with next to nothing on it.",
    wheels=FLET_WHEELS,
)


def newer_build(root: Path, site: Path, lineage: Lineage | None = None) -> Path:
    """The plain page with one word changed, its source put into `root`, built into `site`."""
    root.mkdir(exist_ok=True)
    source = (PLAIN.root / "main.py").read_text(encoding="utf-8")
    (root / "main.py").write_text(source.replace("Plain page", "Newer page"), encoding="utf-8")
    app = PublishedApp(root, "main", ("*.py",), PLAIN.name, PLAIN.description)
    build(app, site, lineage=lineage)
    return site


def launch(playwright: Playwright, *more_flags: str) -> Browser:
    """A Chromium with nothing remembered and nothing of its own to say to the network."""
    program = shutil.which("chromium")
    return playwright.chromium.launch(
        executable_path=program, args=[*FLAGS, *more_flags], timeout=PATIENCE_MS
    )


@dataclass
class Server:
    """A site served by another process, so that it can die like one."""

    site: Path
    base: str = "/"
    port: int = 0
    process: subprocess.Popen[str] | None = None
    address: str = ""

    def start(self) -> Server:
        """Serve; on the same port again when it was served before."""
        words = ["serve", str(self.site), "--no-open", "--port", str(self.port), "--at", self.base]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "mobile", *words], cwd=ROOT, stdout=subprocess.PIPE, text=True
        )
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        self.address = next(word for word in line.split() if word.startswith("http"))
        self.port = int(self.address.split(":")[2].split("/")[0])
        return self

    def kill(self) -> None:
        """End the server at once; open connections die with it."""
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.communicate()
            self.process = None


@contextmanager
def serving(site: Path, base: str = "/") -> Iterator[Server]:
    """A server of `site` for the length of a test."""
    server = Server(site, base).start()
    try:
        yield server
    finally:
        server.kill()


@dataclass
class Visit:
    """One person's browser: its page, everything it asked the network for, everything it said."""

    context: BrowserContext
    page: Page
    requests: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)

    def open(self, address: str) -> Visit:
        """Go there and wait until Python has drawn the first screen."""
        self.page.goto(address)
        ready(self.page)
        return self

    def keep(self, address: str) -> Visit:
        """Go there and wait until the whole site is kept on the device."""
        self.open(address)
        kept(self.page)
        return self

    def reload(self) -> Visit:
        """Load the page again and wait for Python."""
        self.page.reload()
        ready(self.page)
        return self

    def outside(self, address: str) -> list[str]:
        """Requests that left the origin of `address`."""
        origin = "/".join(address.split("/")[:3]) + "/"
        ours = (origin, "data:", "blob:")
        return [request for request in self.requests if not request.startswith(ours)]


@contextmanager
def visiting(browser: Browser, **device: object) -> Iterator[Visit]:
    """A fresh phone-sized context with an empty profile, watched from the first request on."""
    settings = {"viewport": PHONE, "has_touch": True, **device}
    context = browser.new_context(**settings)  # type: ignore[arg-type]
    context.set_default_timeout(PATIENCE_MS)
    try:
        yield watched(context)
    finally:
        context.close()


def watched(context: BrowserContext) -> Visit:
    """A visit with a page of its own, watched from its first request on."""
    visit = Visit(context, context.new_page())
    context.on("request", lambda request: visit.requests.append(request.url))
    visit.page.on("console", lambda message: visit.said.append(message.text))
    visit.page.on("pageerror", lambda error: visit.said.append(f"error: {error}"))
    return visit


@contextmanager
def returning(context: BrowserContext, address: str) -> Iterator[Visit]:
    """A visit by a phone that keeps the app from before and has nothing on record.

    All but the copy of the app is cleared away, so that nothing comes from the visit before; a
    start from the copy takes half of what a first visit does.
    """
    context.set_offline(False)
    _clear(context, address)
    visit = watched(context)
    try:
        yield visit
    finally:
        for page in context.pages:
            page.close()


RECORDS = "file_systems,indexeddb,local_storage"
FILES = """async () => {
    const names = [];
    for await (const name of (await navigator.storage.getDirectory()).keys()) names.push(name);
    return names.length + localStorage.length + (await indexedDB.databases()).length;
}"""


def _clear(context: BrowserContext, address: str) -> None:
    """Clear what the app recorded; files of a page just left go once its worker has ended."""
    page = context.new_page()
    page.goto(address + "manifest.json")
    cleared = {"origin": address.rstrip("/"), "storageTypes": RECORDS}
    session, end = context.new_cdp_session(page), monotonic() + PATIENCE_MS / 1000
    session.send("Storage.clearDataForOrigin", cleared)
    while page.evaluate(FILES):
        assert monotonic() < end, "what was recorded before is still there"
        page.wait_for_timeout(100)
        session.send("Storage.clearDataForOrigin", cleared)
    page.close()


def ready(page: Page) -> None:
    """Wait until a screen stands and the house behind it is open; fail when the page says why."""
    marker, notice = '[flt-semantics-identifier="ready"]', "#notice:not([hidden])"
    page.wait_for_selector(f"html[data-booted] {marker}, {notice}", state="attached")
    said = page.query_selector(notice)
    assert said is None, said.inner_text()
    page.wait_for_function(
        """() => !Array.from(document.querySelectorAll('flt-semantics-host *'))
             .some((e) => (e.ariaLabel || e.textContent).includes('Opening the bench'))"""
    )


def until(page: Page, promise: str) -> None:
    """Wait until what the async function `promise` answers is true.

    `wait_for_function` does not wait for a promise: it takes the promise itself for a yes.
    """
    end = monotonic() + PATIENCE_MS / 1000
    while not page.evaluate(promise):
        assert monotonic() < end, f"never true: {promise}"
        page.wait_for_timeout(100)


def kept(page: Page) -> None:
    """Wait until the whole site is kept on the device and answers from there."""
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")


def finds_update(page: Page) -> None:
    """Look for a newer build and wait until the whole of it is fetched."""
    page.evaluate("() => kept.look()")
    page.wait_for_function("() => kept.state().update")


def takes_update(page: Page) -> None:
    """Have the newer build that was fetched take over."""
    with page.expect_navigation():
        page.evaluate("() => { kept.apply(); }")


def tap(page: Page, name: str) -> None:
    """Tap the button called `name`, as a screen reader would find it."""
    page.get_by_role("button", name=name).first.click()


def text(page: Page) -> str:
    """Everything the screen says, labels included."""
    return str(
        page.evaluate(
            """() => Array.from(document.querySelectorAll('flt-semantics-host *'))
                 .map((e) => e.getAttribute('aria-label')
                    || (e.children.length ? '' : e.textContent))
                 .filter(Boolean).join('\\n')"""
        )
    )


def wait_for_text(page: Page, wanted: str) -> None:
    """Wait until the screen says `wanted` somewhere."""
    page.wait_for_function(
        """(wanted) => Array.from(document.querySelectorAll('flt-semantics-host *'))
             .some((e) => (e.getAttribute('aria-label') || e.textContent).includes(wanted))""",
        arg=wanted,
    )


def flip_a_byte(path: Path) -> None:
    """Change one byte of a file that is served; its packed copies, which would be sent, go."""
    for ending in (".br", ".gz"):
        path.with_name(path.name + ending).unlink(missing_ok=True)
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)
