"""Takes the README's pictures of the built app: python -m tests.browser.take_pictures"""

from __future__ import annotations

import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from mobile.publish.build import NUTWRIGHT, build
from shared.bootstrap import ROOT
from tests.browser.hand import press, shows
from tests.browser.harness import AS_SHARP, launch, serving, visiting

PICTURES = ROOT / "assets" / "pictures"
SIZES = {"portrait": (390, 844), "landscape": (844, 390)}


def main() -> None:
    """Home, walk and plan, upright and on their side."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = Path(folder) / "site"
        build(NUTWRIGHT, site)
        browser = launch(playwright)
        with serving(site) as server:
            for name, (width, height) in SIZES.items():
                with visiting(
                    browser, viewport={"width": width, "height": height}, **AS_SHARP
                ) as visit:
                    _session(visit.open(server.address).page, name)
        browser.close()


def _session(page: Page, name: str) -> None:
    _take(page, f"home-{name}")
    press(page, "sample")
    shows(page, "answer-none")
    press(page, "string-3")
    _take(page, f"walk-{name}")
    press(page, "plan")
    shows(page, "line-6")
    _take(page, f"plan-{name}")


def _take(page: Page, name: str) -> None:
    page.wait_for_timeout(900)  # what was touched last has faded
    page.screenshot(path=PICTURES / f"{name}.png")


if __name__ == "__main__":
    main()
