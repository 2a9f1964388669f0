"""A browser killed in the middle of writing has kept everything that was confirmed."""

from __future__ import annotations

import os
import signal
from pathlib import Path

from playwright.sync_api import Browser

from tests.browser.test_device_storage import COUNT, FLOOD, OPEN
from tests.browser.worker_bench import furnish, killable, run, served

ROUNDS = 2


def test_a_killed_browser_has_lost_nothing_confirmed(
    browser: Browser, app_site: Path, tmp_path: Path
) -> None:
    """SIGKILL while entries are being recorded; each confirmed one is there at the next start."""
    with served(furnish(app_site, tmp_path / "site")) as base:
        for turn in range(ROUNDS):
            profile = tmp_path / f"profile-{turn}"
            confirmed = _flood_and_kill(browser, f"{base}/bench.html", profile)
            assert confirmed > 0
            with killable(browser, profile) as (page, _):
                page.goto(f"{base}/bench.html")
                assert run(page, OPEN) == "private files"
                found, value, told = run(page, COUNT).split(" ", 2)
            assert int(found) == int(value) >= confirmed
            assert "damaged" not in told


def _flood_and_kill(browser: Browser, address: str, profile: Path) -> int:
    """How many entries were confirmed when the browser died."""
    with killable(browser, profile) as (page, process):
        page.goto(address)
        assert run(page, OPEN) == "private files"
        page.evaluate("code => { run(code).catch(() => {}); }", FLOOD)
        page.wait_for_function("() => window.said > 150")
        confirmed = int(page.evaluate("window.said"))
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
    return confirmed
