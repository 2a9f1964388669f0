"""Where the start's time goes on a slow phone, and what is seen meanwhile.

    python -m tests.benchmarks.trace_start [--site FOLDER] [--pictures FOLDER]
                                           [--kilobytes 200] [--slower 4]

A first visit and the next start, with the page's thread made `slower` times slower and a line of so
many kilobytes a second and 150 milliseconds each way. The line is narrowed at the host, since the
browser's own throttle does not reach its workers, and most of the bytes are fetched by one. Prints
when each step was done, what was asked of the line when, and the dearest work by thread, from the
browser's own trace; with `--pictures` every different picture of the screen is kept, named by its
milliseconds since the page was asked for.
"""

from __future__ import annotations

import argparse
import base64
import json
import tempfile
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from http import HTTPStatus
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

from mobile.publish.build import NUTWRIGHT, build
from mobile.publish.serve import SiteHandler, SiteServer
from tests.browser.harness import AS_SHARP, kept, launch, visiting

AWAY_S = 0.15
PIECE = 16_384
USABLE = "() => document.querySelector('[flt-semantics-identifier=\"ready\"]') !== null"
OPENED = "() => document.documentElement.dataset.booted === 'yes'"
CATEGORIES = [
    "devtools.timeline",
    "disabled-by-default-devtools.timeline",
    "v8",
    "v8.wasm",
    "disabled-by-default-v8.compile",
    "loading",
    "toplevel",
]
MOST_WORK, MOST_FETCHES = 24, 40


class Line:
    """What all of a page's fetches share."""

    def __init__(self, bytes_a_second: float) -> None:
        self.bytes_a_second = bytes_a_second
        self.begun = time.monotonic()
        self.log: list[tuple[str, float, float, int]] = []
        self._free = 0.0
        self._lock = threading.Lock()

    def wait(self, size: int) -> None:
        """Return once so many bytes have had their turn."""
        with self._lock:
            now = time.monotonic()
            self._free = max(now, self._free) + size / self.bytes_a_second
            until = self._free
        time.sleep(max(0.0, until - now))


class Narrow(SiteHandler):
    """A host at the end of a narrow line."""

    def __init__(self, line: Line, *rest: object) -> None:
        self.line = line
        super().__init__(*rest)  # type: ignore[arg-type]

    def _send(
        self, status: HTTPStatus, headers: dict[str, str], body: bytes, with_body: bool
    ) -> None:
        begun = time.monotonic() - self.line.begun
        time.sleep(AWAY_S)
        super()._send(status, headers, body, with_body=False)
        for at in range(0, len(body) if with_body else 0, PIECE):
            piece = body[at : at + PIECE]
            self.line.wait(len(piece))
            self.wfile.write(piece)
        ended = time.monotonic() - self.line.begun
        self.line.log.append((self.path, begun, ended, len(body)))


@contextmanager
def narrow(site: Path, bytes_a_second: float) -> Iterator[tuple[str, Line]]:
    """The address of a server of `site` behind such a line, and the line."""
    line = Line(bytes_a_second)
    with SiteServer(("127.0.0.1", 0), partial(Narrow, line, site.resolve(), "/")) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://localhost:{server.server_port}/", line
        server.shutdown()


def watched(session: CDPSession, folder: Path | None) -> None:
    """Keep every different picture of the screen, by its wall clock."""
    if folder is None:
        return
    folder.mkdir(parents=True, exist_ok=True)

    def picture(shown: dict[str, Any]) -> None:
        at_ms = round(shown["metadata"]["timestamp"] * 1000)
        (folder / f"{at_ms}.png").write_bytes(base64.b64decode(shown["data"]))
        session.send("Page.screencastFrameAck", {"sessionId": shown["sessionId"]})

    session.on("Page.screencastFrame", picture)
    session.send("Page.startScreencast", {"format": "png", "maxWidth": 390, "maxHeight": 844})


def named_by_age(folder: Path, page: Page) -> None:
    """Name the pictures by milliseconds since the page was asked for."""
    origin = float(page.evaluate("() => performance.timeOrigin"))
    for picture in sorted(folder.glob("1*.png")):
        picture.rename(folder / f"at-{max(0, int(picture.stem) - origin):06.0f}.png")


def one_start(
    browser: Browser, page: Page, go: Callable[[], object], line: Line, folder: Path | None
) -> None:
    """Trace one start and print what it came to."""
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": ASKED.slower})
    watched(session, folder)
    line.begun, line.log = time.monotonic(), []
    browser.start_tracing(page=page, categories=CATEGORIES)
    go()
    page.wait_for_function(USABLE)
    usable = float(page.evaluate("() => performance.now()"))
    page.wait_for_function(OPENED)
    trace = json.loads(browser.stop_tracing())["traceEvents"]
    steps = page.evaluate("() => steps")
    page.wait_for_timeout(1500)
    if folder:
        session.send("Page.stopScreencast")
        named_by_age(folder, page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    print(f"usable after {usable:.0f} ms")
    in_order = sorted(steps.items(), key=lambda step: step[1])
    print("  " + ", ".join(f"{name} {at}" for name, at in in_order))
    for path, begun, ended, size in sorted(line.log, key=lambda each: each[1])[:MOST_FETCHES]:
        print(f"  {begun * 1000:7.0f} to {ended * 1000:7.0f} ms {size / 1000:8.0f} kB  {path}")
    for name, thread, own in dearest(trace):
        print(f"  {own:8.0f} ms  {thread:<28}{name}")


def dearest(trace: list[dict[str, Any]]) -> list[tuple[str, str, float]]:
    """The work with the most time of its own, by name and thread, in milliseconds."""
    threads = {
        (each["pid"], each["tid"]): str(each["args"].get("name", ""))
        for each in trace
        if each["name"] == "thread_name"
    }
    spent: dict[tuple[str, str], float] = defaultdict(float)
    by_thread: dict[tuple[int, int], list[dict[str, Any]]] = defaultdict(list)
    for each in trace:
        if each["ph"] == "X" and each.get("dur", 0) > 0:
            by_thread[each["pid"], each["tid"]].append(each)
    for thread, events in by_thread.items():
        for event, own in own_times(events):
            spent[_said(event), threads.get(thread, "?")] += own / 1000
    ranked = sorted(spent.items(), key=lambda pair: -pair[1])
    return [(name, thread, own) for (name, thread), own in ranked[:MOST_WORK]]


def _said(event: dict[str, Any]) -> str:
    data = event.get("args", {}).get("data", {}) or {}
    url = str(data.get("url", "") or event.get("args", {}).get("fileName", ""))
    where = url.rsplit("/", 1)[-1][:40]
    return f"{event['name']} {where}".strip()


def own_times(events: list[dict[str, Any]]) -> Iterator[tuple[dict[str, Any], float]]:
    """Each event of one thread with its time less what lies inside it, in microseconds."""
    events.sort(key=lambda each: (each["ts"], -each["dur"]))
    own = [float(each["dur"]) for each in events]
    around: list[int] = []
    for place, event in enumerate(events):
        while around and event["ts"] >= _end(events[around[-1]]):
            around.pop()
        if around:
            own[around[-1]] -= event["dur"]
        around.append(place)
    return zip(events, own, strict=True)


def _end(event: dict[str, Any]) -> float:
    return float(event["ts"] + event["dur"])


ASKED = argparse.Namespace()


def main() -> None:
    """A first visit on a narrow line, and the next start from the device's copy."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--site", type=Path)
    parser.add_argument("--kilobytes", type=float, default=200)
    parser.add_argument("--slower", type=float, default=4)
    parser.add_argument("--pictures", type=Path)
    parser.parse_args(namespace=ASKED)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = ASKED.site or Path(folder) / "site"
        if not ASKED.site:
            build(NUTWRIGHT, site)
        browser = launch(playwright)
        pictures = ASKED.pictures
        with (
            narrow(site, ASKED.kilobytes * 1000) as (address, line),
            visiting(browser, **AS_SHARP) as visit,
        ):
            page = visit.page
            first = pictures / "first" if pictures else None
            print("First visit", end=": ")
            one_start(browser, page, lambda: page.goto(address), line, first)
            line.bytes_a_second = 50e6  # the copy for the device is another matter
            kept(page)
            page.wait_for_timeout(2000)
            second = pictures / "next" if pictures else None
            print("Next start", end=": ")
            one_start(browser, page, page.reload, line, second)
        browser.close()


if __name__ == "__main__":
    main()
