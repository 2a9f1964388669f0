"""One slot from its call to its proof, with no network and the browser killed in the middle."""

from __future__ import annotations

import os
import re
import signal
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from shared.units import Length
from tests.browser.hand import BrowserHand, begin, changed, has, marked, press, settled, shows
from tests.browser.harness import PHONE, Server, kept, ready, text, wait_for_text
from tests.browser.worker_bench import killable

pytestmark = pytest.mark.long

STRING = 6
HIGH_MM = 0.8
STROKE_MM = 0.016
"""What one stroke takes off the clearance at this made-up slot."""
LIGHT_MM = 0.015
MOST = 40
"""More answers than any cut asks for."""


@dataclass
class Filer:
    """Files one slot as the screen says and reads it truly; knows what each stroke takes."""

    clearance_mm: float
    strokes: int = 0

    def answer(self, page: Page) -> str:
        """Do the one thing that the screen asks for; the mark that was touched."""
        before = settled(page)
        mark = self._mark(page)
        if mark == "filed":
            made = _number(page, "filed")
            self.strokes += made
            self.clearance_mm -= made * STROKE_MM / (1 + ("half" in _said(page, "filed")))
        press(page, mark)
        changed(page, before)
        return mark

    def _mark(self, page: Page) -> str:
        shown = shows(page, "filed", "prove", "answer-none", "answer-clean")
        if shown in ("filed", "prove", "answer-clean"):
            return shown
        gap = self.clearance_mm - _leaves_mm(page)
        if abs(gap) <= LIGHT_MM:
            return "answer-light"
        return "answer-none" if gap > 0 else "answer-heavy"


def _said(page: Page, mark: str) -> str:
    found = page.locator(marked(mark)).first
    return str(found.get_attribute("aria-label") or found.inner_text())


def _number(page: Page, mark: str) -> int:
    found = re.search(r"\d+", _said(page, mark))
    assert found
    return int(found[0])


def _leaves_mm(page: Page) -> float:
    """The leaf, or two together, that is to be slid in."""
    found = re.search(r"side: ([\d.+ ]+) thou", _said(page, "asked"))
    assert found, _said(page, "asked")
    return sum(Length.parse(f"{leaf} thou").mm for leaf in found[1].split(" + "))


def _to_the_cut(page: Page, server: Server) -> None:
    """From a first visit to the call of one string, then the network dies, and the cut begins."""
    page.goto(server.address)
    ready(page)
    shows(page, "new-job")
    begin(page)
    hand = BrowserHand({STRING: HIGH_MM})
    first = _said(page, "asked")
    while _said(page, "asked").split(",")[0] == first.split(",")[0]:
        hand.answer(page)
    kept(page)
    server.kill()
    press(page, "plan")
    shows(page, f"line-{STRING}")
    before = settled(page)
    press(page, f"line-{STRING}")
    changed(page, before)
    press(page, "cut")
    shows(page, "filed", "answer-none")


def test_one_slot_from_call_to_proof_offline_with_a_kill_in_the_middle(
    browser: Browser, app_server: Server, tmp_path: Path
) -> None:
    """Walk, call, cut; the browser dies after a pass; it carries on from there, without a network,
    to a proven slot and a sheet that says so. The strokes on the sheet are those that were made.
    """
    filer, profile = Filer(HIGH_MM), tmp_path / "profile"
    with killable(browser, profile) as (page, process):
        page.set_viewport_size(PHONE)  # type: ignore[arg-type]
        _to_the_cut(page, app_server)
        while filer.answer(page) != "filed":
            pass
        left = settled(page)
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
    with killable(browser, profile) as (page, _):
        page.set_viewport_size(PHONE)  # type: ignore[arg-type]
        page.goto(app_server.address)
        ready(page)
        shows(page, "filed", "answer-none", "prove")
        assert settled(page) == left
        asked = [filer.answer(page)]
        while asked[-1] != "answer-clean":
            asked.append(filer.answer(page))
            assert len(asked) < MOST
        assert asked[-2] == "prove"
        shows(page, "hand-over")
        _is_on_the_sheets(page, filer)


def _is_on_the_sheets(page: Page, filer: Filer) -> None:
    """Both sheets say what was done: proven on the owner's, every stroke on the bench's."""
    press(page, "hand-over")
    shows(page, "sheet-bench")
    assert not has(page, f"prove-{STRING}")
    press(page, "sheet-bench")
    wait_for_text(page, "Bench record")
    passes = re.findall(r"strokes (\d+)", _read_down(page, "Learned"))
    assert sum(map(int, passes)) == filer.strokes > 0
    press(page, "back")
    shows(page, "hand-over")
    press(page, "hand-over")
    wait_for_text(page, "Set-up of the nut")
    owner = _read_down(page, "clean soft, normal and hard")
    assert "lowered, now in its window" in owner


def _read_down(page: Page, wanted: str) -> str:
    """Scroll until the page says `wanted`; what it says then."""
    page.mouse.move(PHONE["width"] / 2, PHONE["height"] / 2)
    for _ in range(30):
        said = text(page)
        if wanted in said:
            return said
        page.mouse.wheel(0, 150)
        page.wait_for_timeout(150)
    raise AssertionError(f"{wanted!r} is nowhere on the page")
