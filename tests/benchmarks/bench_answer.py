"""From an answer to the next thing asked, against the round trip of an empty handler.

    python -m tests.benchmarks.bench_answer [--taps 60] [--jobs 10000]

All pages are published by the same publisher, on screens of one size, and driven in one run, in
turns: a tap on a button whose handler only counts, a tap on an answer where an empty handler shows
the walk's next string (`still.py`), and a tap on an answer of the walk itself (the reading is
durable before the screen changes) on a device that has no history and on one with years of it.
No page draws a ripple: the publisher takes it out of the client, so that the button's page is no
slower than it can be; it draws three things where the walk draws forty. Each time is from the
lifting of a finger to changed words on the screen; the answer that ends a walk, with its whole plan
worked out and drawn, is told apart. Taps are 400 ms apart, since the app takes a second answer
within 300 ms for a finger that bounced.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from statistics import median

from playwright.sync_api import Page, Playwright, sync_playwright

from mobile.publish.build import NUTWRIGHT, ROOT, build
from mobile.publish.pack import PublishedApp
from tests.benchmarks.bench_years import phone
from tests.benchmarks.years import make_years
from tests.browser.hand import begin, has, press, settled, shows
from tests.browser.harness import AS_SHARP, PLAIN, launch, serving, visiting
from tests.browser.worker_bench import furnish

PAUSE_MS = 400
BATCH = 10
"""Taps on one page before it is the other's turn."""
WARMING = 3
STILL = PublishedApp(
    root=ROOT,
    module="tests.benchmarks.still",
    paths=(
        *NUTWRIGHT.paths,
        *("tests/__init__.py", "tests/benchmarks/__init__.py", "tests/benchmarks/still.py"),
    ),
    name="Still",
    description="The walk's screen with nothing behind it.",
    start_screen=("assets/",),
)
REFERENCES = {"empty": "an empty handler", "still": "the walk drawn by an empty handler"}
NAMES = {"new": "an answer, no history", "years": "an answer, years behind it"}
ANSWERS = ("No contact", "Light contact", "Heavy contact")
WATCH = """(name) => {
    const host = document.querySelector('flt-semantics-host');
    const button = Array.from(host.querySelectorAll('[role=button]'))
        .find((each) => (each.getAttribute('aria-label') || each.textContent).includes(name));
    const words = () => host.textContent
        + Array.from(host.querySelectorAll('[aria-label]'), (e) => e.ariaLabel).join();
    const before = words();
    window.took = new Promise((resolve) => addEventListener('pointerup', async (up) => {
        while (words() === before) await new Promise((changed) => {
            new MutationObserver((_, watch) => { watch.disconnect(); changed(); })
                .observe(host, { subtree: true, childList: true, characterData: true,
                                 attributes: true });
        });
        resolve(performance.now() - up.timeStamp);
    }, { capture: true, once: true }));
    const { x, y, width, height } = button.getBoundingClientRect();
    return [x + width / 2, y + height / 2];
}"""
"""Waits for a finger on the button of that name, and says where it is."""


def tapped(page: Page, name: str) -> float:
    """Milliseconds from one tap of a finger to changed words."""
    page.wait_for_timeout(PAUSE_MS)
    page.touchscreen.tap(*page.evaluate(WATCH, name))
    return float(page.evaluate("() => window.took"))


def answers(page: Page, ended: list[float]) -> Iterator[float]:
    """Times of one answer after another, walking job after job; what ends a walk is kept apart."""
    page.wait_for_function("() => 'opened' in steps")
    if shows(page, "new-job", "back") == "back":  # the app opened where the years end
        press(page, "back")
        shows(page, "new-job")
    begin(page)
    place = 0
    while True:
        if not has(page, "answer-none"):
            _another_job(page)
        took = tapped(page, ANSWERS[(place := place + 1) % len(ANSWERS)])
        if has(page, "asked"):
            yield took
        else:
            ended.append(took)


def _another_job(page: Page) -> None:
    """The walk ended in its plan, or asks to listen: begin anew."""
    shows(page, "back")
    press(page, "back")
    shows(page, "new-job")
    begin(page)


def compare(playwright: Playwright, folder: Path, jobs: int, taps: int) -> None:
    """Print all round trips and their ratios to the empty handlers'."""
    for name, site in (("empty", PLAIN), ("still", STILL), ("app", NUTWRIGHT)):
        build(site, folder / name)
    host = furnish(folder / "app", folder / "host")
    if jobs:
        make_years(host / "years", jobs)
    browser = launch(playwright)
    with ExitStack() as stack:
        idle = {
            name: stack.enter_context(visiting(browser, **AS_SHARP)).open(server.address).page
            for name in REFERENCES
            for server in [stack.enter_context(serving(folder / name))]
        }
        apps = {
            name: stack.enter_context(phone(playwright, folder / name, host, years))
            for name, years in (("new", None), ("years", host / "years"))
            if name == "new" or jobs
        }
        ended: list[float] = []
        rows = {name: answers(page, ended) for name, page in apps.items()}
        rows |= {"empty": repeated(idle["empty"], "Tap here")}
        rows |= {"still": repeated(idle["still"], "Light contact")}
        _say(_in_turns(rows, idle | apps, taps))
        print(
            f"  {len(ended)} more ended a walk and showed its plan: {median(ended or [0]):.0f} ms"
        )
        for page in apps.values():
            settled(page)
    browser.close()


def repeated(page: Page, name: str) -> Iterator[float]:
    """Times of one tap after another on the button of that name."""
    while True:
        yield tapped(page, name)


def _in_turns(
    rows: dict[str, Iterator[float]], pages: dict[str, Page], taps: int
) -> dict[str, list[float]]:
    """So many times of each, a batch of one after a batch of another; the first few not counted."""
    for name, row in rows.items():
        pages[name].bring_to_front()
        for _ in range(WARMING):
            next(row)
    times: dict[str, list[float]] = {name: [] for name in rows}
    for _ in range(0, taps, BATCH):
        for name, row in rows.items():
            pages[name].bring_to_front()
            times[name] += [next(row) for _ in range(BATCH)]
    return {name: sorted(taken) for name, taken in times.items()}


def _say(times: dict[str, list[float]]) -> None:
    print(f"{'tap to changed words':<40}{'median':>8}{'95 %':>11}{'worst':>11}")
    for name, taken in times.items():
        figures = [of(taken) for of in (median, _p95, max)]
        print(f"  {(REFERENCES | NAMES)[name]:<38}" + "".join(f"{ms:>8.0f} ms" for ms in figures))
        for reference in REFERENCES if name in NAMES else ():
            against = times[reference]
            ratios = [of(taken) / of(against) for of in (median, _p95, max)]
            print(f"    of {REFERENCES[reference]:<33}" + "".join(f"{r:>8.2f}   " for r in ratios))
    print(f"  {len(times['empty'])} taps each")


def _p95(times: list[float]) -> float:
    return times[int(len(times) * 0.95)]


def main() -> None:
    """Build both sites, make the years, and compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--taps", type=int, default=60)
    parser.add_argument("--jobs", type=int, default=10_000, help="behind the one with years")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        compare(playwright, Path(folder), asked.jobs, asked.taps)


if __name__ == "__main__":
    main()
