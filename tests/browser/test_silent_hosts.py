"""Hosts that stop in the middle and do not hang up: no update waits for them without an end."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http import HTTPStatus
from pathlib import Path

from playwright.sync_api import Page

from mobile.publish.serve import SiteHandler, SiteServer
from tests.browser.harness import Visit, flip_a_byte, newer_build
from tests.browser.test_hosts import running

BEFORE_A_FILE = "before a file"
IN_A_FILE = "in the middle of a file"
IN_A_MISS = "in the middle of the page that says a file is missing"
MISS = b"There is no such file here.\n"


@dataclass
class Silence:
    """Where the host falls silent, at which files; and the event that ends all waiting for it."""

    where: str = ""
    at: Callable[[str], bool] = lambda name: False
    over: threading.Event = field(default_factory=threading.Event)


class FallsSilent(SiteHandler):
    """Sends half of what it has to say, or nothing, and then neither goes on nor hangs up."""

    silence: Silence

    def _send(
        self, status: HTTPStatus, headers: dict[str, str], body: bytes, with_body: bool
    ) -> None:
        if not self.silence.at(self.path.removeprefix(self.base)):
            super()._send(status, headers, body, with_body)
            return
        where = self.silence.where
        if where == IN_A_MISS:
            status, headers, body = HTTPStatus.NOT_FOUND, {"Content-Type": "text/plain"}, MISS
        if where != BEFORE_A_FILE:
            super()._send(status, headers, body, with_body=False)
            self.wfile.write(body[: len(body) // 2])
        self.silence.over.wait(120)
        self.close_connection = True


@contextmanager
def falling_silent(site: Path, silence: Silence) -> Iterator[str]:
    """The address of a host that falls silent where it is told to."""
    kind = type("Silent", (FallsSilent,), {"silence": silence})
    with running(SiteServer(("127.0.0.1", 0), partial(kind, site.resolve(), "/"))) as address:
        try:
            yield address
        finally:
            silence.over.set()


def test_no_update_waits_without_an_end(visit: Visit, plain_site: Path, tmp_path: Path) -> None:
    """Silent before a file or in it, the host is given up after a time. Misses that never end hold
    nothing up, however many there are, nor do files that are all damaged. The page is told why each
    time, and the update comes once the host does as it should."""
    newer = newer_build(tmp_path / "source", tmp_path / "newer")
    host = Path(shutil.copytree(plain_site, tmp_path / "host"))
    silence = Silence()
    with falling_silent(host, silence) as address:
        page = visit.keep(address).page
        _put(newer, host)
        _waits_for(host, seconds=3)
        silence.at = lambda name: name == "app.zip"
        for silence.where in (IN_A_FILE, BEFORE_A_FILE):
            assert "nothing came from the host" in _refused(page)
        silence.where, silence.at = IN_A_MISS, lambda name: name != "sw.js"
        assert "did not arrive as it was published" in _refused(page)
        silence.at = lambda name: False
        for path in [path for path in host.rglob("*") if path.suffix in (".js", ".wasm", ".zip")]:
            if path.name != "sw.js":
                flip_a_byte(path)
        assert "did not arrive as it was published" in _refused(page)
        _put(newer, host)
        page.evaluate("() => { asks.again(); }")
        page.wait_for_function("() => kept.state().update")
        assert page.evaluate("() => kept.state().refusal") == ""


def _put(site: Path, host: Path) -> None:
    """Publish `site` in place of what stands there."""
    shutil.rmtree(host)
    shutil.copytree(site, host)


def _waits_for(host: Path, seconds: int) -> None:
    """Let the host's worker wait so long for one that is silent."""
    worker = (host / "sw.js").read_text(encoding="utf-8")
    changed = worker.replace("const SILENT_SECONDS = 30;", f"const SILENT_SECONDS = {seconds};")
    assert changed != worker
    (host / "sw.js").write_text(changed, encoding="utf-8")
    for packed in host.glob("sw.js.*"):
        packed.unlink()


def _refused(page: Page) -> str:
    """Why the newer build is refused when it is tried once more."""
    page.evaluate("() => { asks.again(); }")
    page.wait_for_function("() => kept.state().refusal !== ''")
    return str(page.evaluate("() => kept.state().refusal"))
