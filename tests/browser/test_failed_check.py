"""A relief that fails, set right and measured again, then one slot from the plan's button to its
proof: with no network, and the browser killed in the middle."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.hand import BrowserHand, changed, has, marked, press, settled, shows
from tests.browser.harness import PHONE, Server, kept, ready, text
from tests.browser.test_cut import Filer
from tests.browser.worker_bench import killable

pytestmark = pytest.mark.long

HEIGHTS_MM = {6: 0.508, 5: 0.8, 4: 0.457, 3: 0.8, 2: 0.406, 1: 0.406}
"""Two strings far over the table's targets for a medium attack, four on them."""
GOOD = ("ok", "yes", "no", "slotted", "off", "fret")
"""Answers with which a check passes, of those that come up here."""
MOST = 60


def does(page: Page, mark: str) -> list[str]:
    """Touch one thing; what the screen says once it has answered."""
    before = settled(page)
    press(page, mark)
    return changed(page, before)


def keys(page: Page, digits: str) -> None:
    """Type a number on the pad and keep it."""
    for digit in digits:
        shows(page, f"key-{digit}")
        press(page, f"key-{digit}")
        page.wait_for_timeout(150)
    does(page, "save-number")


def good_answer(page: Page) -> str:
    """The mark of an answer with which the card's check passes; the skip where it has none."""
    marks = page.locator("[flt-semantics-identifier]").evaluate_all(
        "all => all.map((one) => one.getAttribute('flt-semantics-identifier'))"
    )
    return next((m for m in marks if m.partition("-")[2] in GOOD), "skip")


def to_the_relief(page: Page, server: Server) -> None:
    """From a first visit to the card that asks for relief."""
    page.goto(server.address)
    ready(page)
    for mark in ("new-job", "kind-electric guitar", "go-on", "all-true"):
        shows(page, mark)
        does(page, mark)
    shows(page, "relief-ok")


def relief_set_right(page: Page) -> None:
    """Typed too high, it says so on its own card; measured again, the next card follows."""
    does(page, "type-number")
    keys(page, "40")
    shows(page, "measure-again", "leave-finding")
    said = text(page)
    assert "too much" in said and "set the neck first" in said
    does(page, "measure-again")
    keys(page, "8")
    assert not has(page, "measure-again")


def to_the_plan(page: Page) -> None:
    """Answer the cards, then read every string truly, until the plan is there."""
    hand = BrowserHand(HEIGHTS_MM)
    for _ in range(MOST):
        shown = shows(page, "skip", "asked", "next")
        if shown == "next":
            return
        does(page, good_answer(page)) if shown == "skip" else hand.answer(page)
    raise AssertionError("the walk does not end")


def to_the_cut(page: Page) -> int:
    """Follow the plan's one button until the file is in a slot; which string's."""
    hand = BrowserHand(HEIGHTS_MM)
    for _ in range(MOST):
        shown = shows(page, "filed", "skip", "next", "asked")
        if shown == "filed":
            return next(s for s in HEIGHTS_MM if f"String {s}" in text(page))
        if shown == "asked":
            hand.answer(page)
        else:
            does(page, "next" if shown == "next" else good_answer(page))
    raise AssertionError("the plan leads to no cut")


def test_a_failed_relief_is_set_right_and_a_slot_proved_offline_with_a_kill_in_the_middle(
    browser: Browser, app_server: Server, tmp_path: Path
) -> None:
    """The card says by how much, the pad takes the new value; the plan's button leads to the cut;
    the browser dies after a pass and the plan leads back to the slot, to its proof, and from there
    in one touch to the other slot. The sheet has the relief that was measured last."""
    profile = tmp_path / "profile"
    with killable(browser, profile) as (page, process):
        page.set_viewport_size(PHONE)  # type: ignore[arg-type]
        to_the_relief(page, app_server)
        kept(page)
        app_server.kill()
        relief_set_right(page)
        to_the_plan(page)
        first = to_the_cut(page)
        filer = Filer(HEIGHTS_MM[first])
        while filer.answer(page) != "filed":
            pass
        settled(page)
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
    with killable(browser, profile) as (page, _):
        page.set_viewport_size(PHONE)  # type: ignore[arg-type]
        page.goto(app_server.address)
        ready(page)
        shows(page, "filed", "answer-none", "prove")
        for _ in range(MOST):
            if filer.answer(page) == "answer-clean":
                break
        shows(page, "next")
        other = ({5, 3} - {first}).pop()
        said = page.locator(marked("next")).first
        assert f"string {other}" in str(said.get_attribute("aria-label") or said.inner_text())
        does(page, "next")
        shows(page, "filed", "answer-none")
        assert f"String {other}" in text(page)
        does(page, "plan")
        does(page, "hand-over")
        shows(page, "sheet-bench")
        assert "Relief: 8 thou" in whole_sheet(page)


def whole_sheet(page: Page) -> str:
    """All that the sheet says, from its top to its end."""
    page.mouse.move(PHONE["width"] / 2, PHONE["height"] / 2)
    said = ""
    for _ in range(20):
        said += text(page)
        page.mouse.wheel(0, 400)
        page.wait_for_timeout(150)
    return said
