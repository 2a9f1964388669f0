"""With the ears alone: what accessibility rules find on every screen.

A whole job by names alone, and what is announced on the way, is in `test_whole_jobs`.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Page

from shared.bootstrap import ROOT
from tests.browser.hand import BrowserHand, card_answer, changed, has, marked, settled, shows
from tests.browser.harness import Server, Visit
from tests.browser.test_quick_checks import measure_the_sample, to_the_instrument
from tests.once import held

pytestmark = pytest.mark.returning

AXE = "axe-core@4.14.1"
"""General-purpose accessibility rules, fetched once through npm."""
KEPT = ROOT / ".build" / "axe"
HEIGHTS_MM = {4: 0.9, 3: 0.45, 2: 0.45, 1: 0.9}

KNOWN = {
    "scrollable-region-focusable": "Flutter scrolls to whatever is focused and gives the scrolling "
    "node itself no focus; a screen reader reaches every line, and what is touched lies outside",
}
"""Serious findings that lie in the toolkit and not in our screens, by rule, with the reason."""
AUDIT = """async () => (await axe.run(document, { resultTypes: ["violations"] })).violations
  .filter(({ impact }) => impact === "serious" || impact === "critical")
  .map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 200)}`)"""


@pytest.fixture(scope="module")
def axe(shared_folder: Path) -> str:
    """The rules; where npm is absent or cannot fetch them, the test says so and is skipped."""
    script = KEPT / "node_modules" / "axe-core" / "axe.min.js"
    with held(shared_folder / "axe.lock"):
        if not script.exists():
            _fetch(script)
    return script.read_text(encoding="utf-8")


def _fetch(script: Path) -> None:
    npm = shutil.which("npm")
    if npm is None:
        pytest.skip("npm is not on this machine: the accessibility rules cannot be fetched")
    KEPT.mkdir(parents=True, exist_ok=True)
    words = [npm, "install", "--prefix", str(KEPT), "--no-audit", "--no-fund", "--silent", AXE]
    subprocess.run(words, capture_output=True, timeout=120, check=False)
    if not script.exists():
        pytest.skip(f"npm could not fetch {AXE}: the accessibility rules are not here")


def activate(page: Page, mark: str) -> None:
    """What a screen reader does with the button it stands on: no place, no pointer."""
    shows(page, mark)
    page.locator(marked(mark)).first.evaluate("(each) => each.click()")


@dataclass
class Audit:
    """Serious findings of our own, by the screen they were found on."""

    page: Page
    found: dict[str, list[str]] = field(default_factory=dict)

    def __call__(self, screen: str, mark: str) -> None:
        """Audit what is drawn once this mark is shown."""
        shows(self.page, mark)
        self.page.wait_for_timeout(250)
        said: list[str] = self.page.evaluate(AUDIT)
        serious = [each for each in said if each.split(":")[0] not in KNOWN]
        if serious:
            self.found[screen] = serious

    def and_back(self, way: str, mark: str) -> None:
        """Follow `way`, audit what it leads to, and come back to where it began."""
        activate(self.page, way)
        self(way, mark)
        self.page.keyboard.press("Escape")
        shows(self.page, way)
        settled(self.page)


def test_no_screen_has_a_serious_finding(visit: Visit, app_server: Server, axe: str) -> None:
    """Home, settings, kit, records, kinds, intake, preconditions, question, walk, number, plan,
    what if, the sheet and the cut."""
    page = visit.open(app_server.address).page
    page.evaluate(axe + "; 0")
    audit = Audit(page)
    audit("home", "new-job")
    for room, mark in (("settings", "unit-mm"), ("kit", "back"), ("records", "back")):
        audit.and_back(room, mark)
    _to_the_walk(page, "bass guitar", audit)
    audit("walk", "asked")
    activate(page, "number")
    audit("number", "save-number")
    page.keyboard.press("Escape")
    _walk(page, BrowserHand(HEIGHTS_MM))
    audit("plan", "measure")
    audit.and_back("what-if", "back")
    audit.and_back("hand-over", "sheet-owner")
    activate(page, "line-4")
    activate(page, "cut")
    page.wait_for_timeout(400)
    audit("cut", "undo")
    assert audit.found == {}


def test_no_screen_of_an_instrument_has_a_serious_finding(
    visit: Visit, app_server: Server, axe: str
) -> None:
    """The list, the instrument's page and what changes it, a player's own targets before and after
    one is set, the quick check and what it found."""
    page = visit.open(app_server.address).page
    page.evaluate(axe + "; 0")
    audit = Audit(page)
    measure_the_sample(page)
    to_the_instrument(page)
    audit("instrument", "quick-check")
    for way in ("name", "strings", "nut"):
        audit.and_back(way, "back")
    activate(page, "targets")
    audit("targets", "more-target")
    activate(page, "more-target")
    audit("own targets", "tables")
    page.keyboard.press("Escape")
    shows(page, "quick-check")
    activate(page, "quick-check")
    audit("quick check", "answer-none")
    activate(page, "answer-heavy")
    activate(page, "end")
    audit("checked", "found")
    page.keyboard.press("Escape")
    audit("instrument checked", "quick-check")
    page.keyboard.press("Escape")
    audit("instruments", "several")
    activate(page, "several")
    page.wait_for_timeout(400)
    audit("several", "back")
    assert audit.found == {}


def _to_the_walk(page: Page, kind: str, audit: Callable[[str, str], None]) -> None:
    """From home to the first string, skipping what can be skipped."""
    for mark, screen, shown in (
        ("new-job", "kinds", f"kind-{kind}"),
        (f"kind-{kind}", "intake", "go-on"),
        ("go-on", "preconditions", "all-true"),
    ):
        activate(page, mark)
        audit(screen, shown)
    activate(page, "all-true")
    if shows(page, "skip", "asked") == "skip":
        audit("question", "skip")
    while shows(page, "skip", "asked") == "skip":
        before = settled(page)
        activate(page, card_answer(page))
        changed(page, before)


def _walk(page: Page, hand: BrowserHand) -> None:
    """Answer what is true until the plan is there."""
    for _ in range(40):
        if has(page, "measure"):
            return
        before = settled(page)
        activate(page, hand.mark(page))
        changed(page, before)
    raise AssertionError("the walk does not end")
