"""How fast the app starts and what it weighs, beside an empty page and Flet's own publisher.

    python -m tests.benchmarks.bench_start [--pairs 7]

Everything is measured in this run, on this machine, in turns: an empty page published like the
app, the app, an empty page as the stock publisher would put it out (stock.py), and the floor (the
drawing engine's first frame and a bare boot of Python, side by side in one page). A screen counts
once its marker stands in the page's accessibility tree.

Warm: plain and app from the device's copy with the server dead; stock and floor, which keep no
copy, from the browser's cache with the server alive. Cold: nothing kept, server on this machine.
"""

from __future__ import annotations

import argparse
import json
import shutil
import tempfile
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from functools import partial
from http import HTTPStatus
from pathlib import Path
from statistics import median

from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize, sync_playwright

from mobile.publish.build import AT_START, NUTWRIGHT, SQUEEZED, build
from mobile.publish.serve import SiteHandler, SiteServer
from tests.benchmarks.stock import publish
from tests.browser.harness import (
    AS_SHARP,
    PATIENCE_MS,
    PHONE,
    PLAIN,
    Visit,
    kept,
    launch,
    serving,
    visiting,
)

STEPS = ("python", "first frame", "imported", "connected", "booted", "opened")
BEHIND = "rest.zip"
"""What travels behind the first screen."""
ENGINES = (
    "/canvaskit/chromium/canvaskit.wasm",
    "/main.dart.js",
    "/pyodide/pyodide.asm.mjs",
    "/pyodide/pyodide.asm.wasm",
)
"""What draws and what runs Python, prebuilt by others: neither page is drawn without them."""
LISTED = 14
"""Files named in the table of weights."""
# Notes when the marker of the first screen stands, whoever published the page.
WATCH = """(() => {
    const look = () => {
        document.querySelector('flt-semantics-placeholder')?.click();
        if (document.querySelector('[flt-semantics-identifier="ready"]')) {
            window.usable = performance.now();
        } else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
})()"""
USABLE = "() => window.usable"
FLOOR = "() => ('python' in steps && 'first frame' in steps)"
BARE_WORKER = """
import { loadPyodide } from "./pyodide/pyodide.mjs";
self.onmessage = async () => {
  await loadPyodide();
  const at = performance.timeOrigin + performance.now();
  self.postMessage({ kind: "step", name: "python", at });
};
"""


@contextmanager
def offline(browser: Browser, site: Path) -> Iterator[Visit]:
    """A visit to `site` that has it all on the device, with the server dead."""
    with visiting(browser, **AS_SHARP) as visit:
        visit.context.add_init_script(WATCH)
        with serving(site) as server:
            visit.open(server.address)
            kept(visit.page)
        visit.context.set_offline(True)
        visit.reload()
        yield visit


def start(visit: Visit) -> dict[str, float]:
    """Milliseconds from the reload to each step of one start."""
    visit.reload()
    steps = dict(json.loads(str(visit.page.evaluate("() => JSON.stringify(steps)"))))
    return steps | {"usable": float(visit.page.evaluate(USABLE))}


def bytes_at_start(site: Path) -> int:
    """What a first visit waits for, as sent to a browser that takes brotli or gzip."""
    copies = ([site / (path + end) for end in (".br", ".gz", "")] for path in AT_START)
    return sum(next(copy for copy in found if copy.exists()).stat().st_size for found in copies)


class Weighing(SiteHandler):
    """A host that notes how much it sent of each file."""

    sent: dict[str, int]

    def __init__(self, sent: dict[str, int], *rest: object) -> None:
        self.sent = sent
        super().__init__(*rest)  # type: ignore[arg-type]

    def _send(
        self, status: HTTPStatus, headers: dict[str, str], body: bytes, with_body: bool
    ) -> None:
        if not self._for_the_copy():
            self.sent[self.path] = self.sent.get(self.path, 0) + len(body)
        super()._send(status, headers, body, with_body)

    def _for_the_copy(self) -> bool:
        """Whether the site's own worker asks, which makes the copy once the screen stands."""
        by_name = self.headers.get("Service-Worker") == "script"
        return by_name or str(self.headers.get("Referer")).endswith("/sw.js")


@contextmanager
def weighed(site: Path) -> Iterator[tuple[str, dict[str, int]]]:
    """The address of a server of `site`, and what it has sent so far by path."""
    sent: dict[str, int] = {}
    with SiteServer(("127.0.0.1", 0), partial(Weighing, sent, site.resolve(), "/")) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://localhost:{server.server_port}/", sent
        server.shutdown()


def _context(browser: Browser) -> BrowserContext:
    size = ViewportSize(width=PHONE["width"], height=PHONE["height"])
    context = browser.new_context(viewport=size, device_scale_factor=2, has_touch=True)
    context.set_default_timeout(PATIENCE_MS)
    context.add_init_script(WATCH)
    return context


def _until(page: Page, done: str) -> float:
    """Milliseconds to the first usable screen, or on the floor to the later of its two parts."""
    page.wait_for_function(done)
    if done == USABLE:
        return float(page.evaluate(USABLE))
    return float(page.evaluate("() => Math.max(steps.python, steps['first frame'])"))


def cold(browser: Browser, site: Path, done: str) -> tuple[float, dict[str, int]]:
    """Milliseconds to the first usable screen with nothing kept, and the bytes sent for it."""
    context = _context(browser)
    with weighed(site) as (address, sent):
        page = context.new_page()
        page.goto(address)
        took = _until(page, done)
        weights = {path: size for path, size in sent.items() if not path.endswith(BEHIND)}
        context.close()
    return took, weights


@contextmanager
def cached(browser: Browser, site: Path, done: str) -> Iterator[Page]:
    """A page of a site that keeps no copy, in the browser's cache, with the server alive."""
    context = _context(browser)
    with weighed(site) as (address, _):
        page = context.new_page()
        page.goto(address)
        _until(page, done)
        yield page
        context.close()


def again(page: Page, done: str) -> float:
    """Milliseconds of one more start."""
    page.reload()
    return _until(page, done)


def session(plain: Path, site: Path) -> None:
    """A page that draws nothing of its own: the drawing engine, and Python doing nothing."""
    shutil.copytree(plain, site)
    for copy in site.glob("worker.js*"):
        copy.unlink()
    (site / "worker.js").write_text(BARE_WORKER, encoding="utf-8")


def warm_starts(browser: Browser, sites: dict[str, Path], pairs: int) -> None:
    """Print the warm starts of all four, in turns."""
    with ExitStack() as stack:
        ours = {n: stack.enter_context(offline(browser, sites[n])) for n in ("plain", "app")}
        stock = stack.enter_context(cached(browser, sites["stock"], USABLE))
        bare = stack.enter_context(cached(browser, sites["floor"], FLOOR))
        rows = [
            (
                (start(ours["plain"]), start(ours["app"])),
                (again(stock, USABLE), again(bare, FLOOR)),
            )
            for _ in range(pairs)
        ]
    print(f"warm start, medians of {pairs} turns (ms)      plain    app  ratio")
    for step in (*STEPS, "usable"):
        one, two = (median(row[0][side].get(step, 0.0) for row in rows) for side in (0, 1))
        ratio = f"{two / one:.2f}" if one else "-"  # nothing opens behind the empty page's screen
        print(f"  {step:<38}{one:>8.0f}{two:>7.0f}{ratio:>7}")
    plain, app = (median(row[0][side]["usable"] for row in rows) for side in (0, 1))
    other, least = (median(row[1][side] for row in rows) for side in (0, 1))
    print(f"  stock empty page {other:.0f}: app {app / other:.2f}, plain {plain / other:.2f}")
    print(f"  floor {least:.0f}: app {app / least:.2f}, plain {plain / least:.2f}")


def cold_starts(browser: Browser, sites: dict[str, Path], pairs: int) -> None:
    """Print the cold starts of all four, in turns, and what each had sent by then."""
    ways = {name: FLOOR if name == "floor" else USABLE for name in sites}
    rows = [{n: cold(browser, sites[n], ways[n]) for n in sites} for _ in range(pairs)]
    times = {name: median(row[name][0] for row in rows) for name in sites}
    weights = {name: median(sum(row[name][1].values()) for row in rows) for name in sites}
    print(f"cold start, medians of {pairs} turns             ms  to plain      kB  to plain")
    for name in sites:
        print(
            f"  {name:<36}{times[name]:>9.0f}{times[name] / times['plain']:>10.2f}"
            f"{weights[name] / 1e3:>8.0f}{weights[name] / weights['plain']:>10.2f}"
        )
    print(f"  (without {BEHIND}, which travels behind the first screen)")
    stock = weights["stock"]
    print(f"  to the stock empty page: app {times['app'] / times['stock']:.2f} of its time,")
    print(f"  {weights['app'] / stock:.2f} of its bytes; ", end="")
    by_file(rows[-1]["app"][1], rows[-1]["stock"][1])


def by_file(app: dict[str, int], stock: dict[str, int]) -> None:
    """Print what each of the largest files weighs, and what no page of these engines can be under.

    The engines are taken as they come: Flutter's two files and Python's two, packed as hard as
    brotli can.
    """
    engines = sum(app.get(path, 0) for path in ENGINES)
    print(f"the engines alone, as they come, {engines / sum(stock.values()):.2f}")
    print("  kB to the first usable screen                                app   stock")
    paths = sorted(app.keys() | stock.keys(), key=lambda p: -max(app.get(p, 0), stock.get(p, 0)))
    for path in paths[:LISTED]:
        mark = "engine" if path in ENGINES else ""
        print(
            f"    {path[-46:]:<47}{mark:<8}"
            f"{app.get(path, 0) / 1e3:>8.0f}{stock.get(path, 0) / 1e3:>8.0f}"
        )
    other = [sum(sent.get(path, 0) for path in paths[LISTED:]) / 1e3 for sent in (app, stock)]
    print(f"    {'everything else':<55}{other[0]:>8.0f}{other[1]:>8.0f}")


def main() -> None:
    """Publish all four and compare them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pairs", type=int, default=7)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        sites = {name: Path(folder) / name for name in ("plain", "app", "stock", "floor")}
        build(PLAIN, sites["plain"])
        build(NUTWRIGHT, sites["app"])
        publish(PLAIN, sites["stock"], SQUEEZED)
        session(sites["plain"], sites["floor"])
        browser = launch(playwright)
        warm_starts(browser, sites, asked.pairs)
        cold_starts(browser, sites, asked.pairs)
        browser.close()


if __name__ == "__main__":
    main()
