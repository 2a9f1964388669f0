"""From an answer to the next thing asked, against the round trip of an empty handler.

    python -m tests.benchmarks.bench_answer [--taps 60]

Both pages are published by the same publisher and driven in one run, in turns: a tap on an answer
of the walk (the reading is durable before the screen changes) and a tap on a button whose handler
only counts. Each time is from the tap to changed words on the screen. Taps are 400 ms apart, since
the app takes a second answer within 300 ms for a finger that bounced.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from playwright.sync_api import Browser, Page, sync_playwright

from mobile.publish.build import NUTWRIGHT, build
from tests.benchmarks.bench_start import TAP
from tests.browser.hand import begin, has, press, settled, shows
from tests.browser.harness import PLAIN, launch, serving, visiting

PAUSE_MS = 400
BATCH = 10
"""Taps on one page before it is the other's turn."""
ANSWERS = ("No contact", "Light contact", "Heavy contact")


def tapped(page: Page, name: str) -> float:
    """Milliseconds from one tap to changed words."""
    page.wait_for_timeout(PAUSE_MS)
    return float(page.evaluate(TAP, name))


def answers(page: Page) -> Iterator[float]:
    """Times of one answer after another, walking job after job."""
    begin(page)
    place = 0
    while True:
        if not has(page, "answer-none"):
            _another_job(page)
        yield tapped(page, ANSWERS[(place := place + 1) % len(ANSWERS)])


def _another_job(page: Page) -> None:
    """The walk ended in its plan, or asks to listen: begin anew."""
    shows(page, "back")
    press(page, "back")
    shows(page, "new-job")
    begin(page)


def compare(browser: Browser, empty_site: Path, app_site: Path, taps: int) -> None:
    """Print both round trips and their ratio."""
    empty_ms: list[float] = []
    answer_ms: list[float] = []
    with (
        serving(empty_site) as empty_server,
        serving(app_site) as app_server,
        visiting(browser) as empty,
        visiting(browser) as app,
    ):
        empty.open(empty_server.address)
        app.open(app_server.address)
        shows(app.page, "new-job")
        answering = answers(app.page)
        _warm(empty.page, answering)
        while len(answer_ms) < taps:
            app.page.bring_to_front()
            answer_ms += [next(answering) for _ in range(BATCH)]
            empty.page.bring_to_front()
            empty_ms += [tapped(empty.page, "Tap here") for _ in range(BATCH)]
        settled(app.page)
    _say(sorted(empty_ms), sorted(answer_ms))


def _warm(page: Page, answering: Iterator[float]) -> None:
    for _ in range(3):
        next(answering)
        tapped(page, "Tap here")


def _say(empty_ms: list[float], answer_ms: list[float]) -> None:
    print(f"{'tap to changed words (ms)':<34}{'empty handler':>14}{'answer':>8}{'ratio':>7}")
    for name, of in (("median", median), ("95th percentile", _p95), ("worst", max)):
        one, two = of(empty_ms), of(answer_ms)
        print(f"  {name:<32}{one:>14.0f}{two:>8.0f}{two / one:>7.2f}")
    print(f"  of {len(answer_ms)} answers and {len(empty_ms)} empty taps")


def _p95(times: list[float]) -> float:
    return times[int(len(times) * 0.95)]


def main() -> None:
    """Build both sites and compare them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--taps", type=int, default=60)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        empty_site, app_site = Path(folder) / "empty", Path(folder) / "app"
        build(PLAIN, empty_site)
        build(NUTWRIGHT, app_site)
        browser = launch(playwright)
        compare(browser, empty_site, app_site, asked.taps)
        browser.close()


if __name__ == "__main__":
    main()
