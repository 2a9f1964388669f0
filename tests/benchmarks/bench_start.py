"""How fast the app starts and answers, as ratios against an empty page published the same way.

    python -m tests.benchmarks.bench_start [--pairs 7] [--taps 40]

Everything is measured in this run, on this machine, in turns: the platform's own share (the empty
page) and ours. The start is the offline one, warm, with the server killed.
"""

from __future__ import annotations

import argparse
import json
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median

from playwright.sync_api import Browser, Page, sync_playwright

from mobile.publish.build import AT_START, NUTWRIGHT, build
from tests.browser.harness import PLAIN, Visit, kept, launch, serving, visiting

STEPS = ("python", "first frame", "imported", "connected", "booted")
# Taps a button and waits until the screen's words change, all inside the page.
TAP = """async (name) => {
    const host = document.querySelector('flt-semantics-host');
    const button = Array.from(host.querySelectorAll('[role=button]'))
        .find((each) => (each.getAttribute('aria-label') || each.textContent).includes(name));
    const words = () => host.textContent
        + Array.from(host.querySelectorAll('[aria-label]'), (e) => e.ariaLabel).join();
    const before = words();
    const begun = performance.now();
    button.click();
    while (words() === before) await new Promise((resolve) => {
        new MutationObserver((_, watch) => { watch.disconnect(); resolve(); })
            .observe(host, { subtree: true, childList: true, characterData: true,
                             attributes: true });
    });
    return performance.now() - begun;
}"""


@contextmanager
def offline(browser: Browser, site: Path) -> Iterator[Visit]:
    """A visit to `site` that has it all on the device, with the server dead."""
    with visiting(browser) as visit:
        with serving(site) as server:
            visit.open(server.address)
            kept(visit.page)
        visit.context.set_offline(True)
        visit.reload()
        yield visit


def start(visit: Visit) -> dict[str, float]:
    """Milliseconds from the reload to each step of one start."""
    visit.reload()
    return dict(json.loads(str(visit.page.evaluate("() => JSON.stringify(steps)"))))


def round_trips(page: Page, name: str, count: int) -> list[float]:
    """Milliseconds from tapping the button `name` to changed words on screen, `count` times."""
    return [float(page.evaluate(TAP, name)) for _ in range(count)]


def bytes_at_start(site: Path) -> int:
    """What a first visit waits for, as sent to a browser that takes brotli or gzip."""
    copies = ([site / (path + end) for end in (".br", ".gz", "")] for path in AT_START)
    return sum(next(copy for copy in found if copy.exists()).stat().st_size for found in copies)


def compare(browser: Browser, plain: Path, app: Path, pairs: int, taps: int) -> None:
    """Print both sides and their ratios."""
    with offline(browser, plain) as empty, offline(browser, app) as ours:
        times = [(start(empty), start(ours)) for _ in range(pairs)]
        trips = round_trips(empty.page, "Tap here", taps)
    print(f"warm offline start, medians of {pairs} pairs (ms)   empty page   app   ratio")
    for step in STEPS:
        one, two = (median(pair[side][step] for pair in times) for side in (0, 1))
        print(f"  {step:<44}{one:>12.0f}{two:>6.0f}{two / one:>8.2f}")
    one, two = bytes_at_start(plain), bytes_at_start(app)
    label = "bytes sent at a first start (kB)"
    print(f"  {label:<44}{one / 1e3:>12.0f}{two / 1e3:>6.0f}{two / one:>8.2f}")
    trips.sort()
    print(
        f"empty handler, tap to changed words: median {median(trips):.0f} ms, "
        f"p95 {trips[int(len(trips) * 0.95)]:.0f} ms, worst {trips[-1]:.0f} ms of {len(trips)}"
    )


def main() -> None:
    """Build both sites and compare them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pairs", type=int, default=7)
    parser.add_argument("--taps", type=int, default=40)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        plain, app = Path(folder) / "plain", Path(folder) / "app"
        build(PLAIN, plain)
        build(NUTWRIGHT, app)
        browser = launch(playwright)
        compare(browser, plain, app, asked.pairs, asked.taps)
        browser.close()


if __name__ == "__main__":
    main()
