"""How long the app takes to start with years of history on the device, beside an empty one.

    python -m tests.benchmarks.bench_years [--jobs 10000] [--turns 5]

Two profiles of one Chromium, from the device's own copy of the app, in turns. The history is made
on this machine and put into the browser's private files. A screen counts once its marker stands in
the page's accessibility tree; the history is open once work goes on from it.
"""

from __future__ import annotations

import argparse
import json
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median

from playwright.sync_api import Page, Playwright, sync_playwright

from tests.benchmarks.bench_start import USABLE, WATCH
from tests.benchmarks.sites import site_or_built
from tests.benchmarks.years import make_years, put_into
from tests.browser.harness import FLAGS, PATIENCE_MS, PHONE, kept, ready
from tests.browser.worker_bench import furnish, served


@contextmanager
def phone(playwright: Playwright, profile: Path, host: Path, years: Path | None) -> Iterator[Page]:
    """A page of the app on a lasting profile, with `years` behind it, kept and started once."""
    context = playwright.chromium.launch_persistent_context(
        profile,
        executable_path="/usr/bin/chromium",
        args=list(FLAGS),
        viewport=PHONE,  # type: ignore[arg-type]
        device_scale_factor=2,
        has_touch=True,
    )
    context.set_default_timeout(2 * PATIENCE_MS)
    context.add_init_script(WATCH)
    page = context.new_page()
    with served(host, "localhost") as address:
        page.goto(f"{address}/bench.html")
        if years:
            put_into(page, years)
        page.goto(address)
        ready(page)
        kept(page)
    context.set_offline(True)
    yield page
    context.close()


def start(page: Page) -> dict[str, float]:
    """Milliseconds from the reload to the first usable screen and to the open history."""
    page.reload()
    ready(page)
    page.wait_for_function("() => 'opened' in steps")
    steps = dict(json.loads(str(page.evaluate("() => JSON.stringify(steps)"))))
    return steps | {"usable": float(page.evaluate(USABLE))}


def main() -> None:
    """Make both, start both in turns, print the ratios."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=10_000)
    parser.add_argument("--turns", type=int, default=5)
    parser.add_argument("--site", type=Path, help="a site that was built before")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        folder = Path(scratch)
        host = furnish(site_or_built(asked.site, folder), folder / "host")
        entries = make_years(host / "years", asked.jobs)
        began = time.perf_counter()
        with (
            phone(playwright, folder / "a", host, None) as empty,
            phone(playwright, folder / "b", host, host / "years") as full,
        ):
            print(f"{asked.jobs} jobs, {entries} entries: {time.perf_counter() - began:.0f} s")
            start(full)
            rows = [(start(empty), start(full)) for _ in range(asked.turns)]
    print(f"warm start, medians of {asked.turns} turns (ms)   empty    years   ratio")
    for step in sorted({*rows[0][0]} & {*rows[0][1]}, key=lambda name: rows[0][0][name]):
        few, many = (median(row[side][step] for row in rows) for side in (0, 1))
        print(f"  {step:<34}{few:>9.0f}{many:>9.0f}{many / few:>8.2f}")


if __name__ == "__main__":
    main()
