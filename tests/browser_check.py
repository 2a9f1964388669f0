"""Whether browser and driver start here, asked once before the tests that need them."""

from __future__ import annotations

import subprocess
import sys

from playwright.sync_api import Error, sync_playwright

from tests.browser.harness import launch

DRIVER = (sys.executable, "-m", "playwright", "--version")


def must_start() -> None:
    """Return once Chromium has started and ended; else leave with one line that says why not."""
    driver = subprocess.run(DRIVER, capture_output=True, text=True, check=False)
    if driver.returncode:
        sys.exit(f"The driver of the tests' browser does not start: {_reason(driver.stderr)}")
    try:
        with sync_playwright() as playwright:
            launch(playwright).close()
    except Error as error:
        sys.exit(f"The browser of the tests does not start: {_reason(str(error))}")


def _reason(said: str) -> str:
    """The line that names the cause, whatever is told around it."""
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    telling = [line for line in lines if "error" in line.lower()]
    return (telling or lines or ["it said nothing"])[0][:300]
