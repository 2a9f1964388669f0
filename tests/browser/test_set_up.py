"""Relief and action in the built app: a whole visit by thumb with no network, loaded anew in the
middle, up to the sheet; and a neck that bows back, typed by keys on a bass."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.hand import (
    changed,
    has,
    leaves,
    marked,
    press,
    scroll_to,
    settled,
    shows,
    whole_text,
)
from tests.browser.harness import Server, Visit, kept, ready, text

pytestmark = pytest.mark.returning

TRUE_MM = {"relief": 0.22, "action": 1.8}
LIGHT_WITHIN_MM = {"relief": 0.035, "action": 0.07}
"""How near the leaf is to the gap where it touches lightly: what fingers tell apart under a held
string, and under an open one that gives (from memory, no source)."""
MOST = 16
"""Touches in which relief of both sides and action of three strings are known."""


def does(page: Page, *names: str) -> None:
    """Touch one thing after another, each once the screen has answered the one before."""
    for mark in names:
        before = settled(page)
        press(page, mark)
        changed(page, before)


def to_relief(page: Page, kind: str) -> None:
    """From home to the first measurement of a whole set-up: player, look and what is true before a
    leaf is picked up are passed in one tap each."""
    shows(page, "new-job")
    does(page, "new-job")
    scroll_to(page, f"kind-{kind}")
    does(page, f"kind-{kind}", "scope-whole", "go-on-visit", "save-player", "all-fine", "all-true")
    shows(page, "answer-none")


def contact(page: Page) -> str:
    """The answer that is true of what is slid in now."""
    what = "relief" if has(page, "string-1") and not has(page, "string-2") else "action"
    gap = TRUE_MM[what] - sum(leaf.mm for leaf in leaves(page))
    if abs(gap) <= LIGHT_WITHIN_MM[what]:
        return "answer-light"
    return "answer-none" if gap > 0 else "answer-heavy"


def to_stages(page: Page) -> None:
    """From what is to be read next to the stages of the visit."""
    while not has(page, "part-relief"):
        does(page, next((mark for mark in ("stages", "plan") if has(page, mark)), "back"))


def said_by(page: Page, mark: str) -> str:
    """What a screen reader hears of this part."""
    part = page.locator(marked(mark)).first
    return part.get_attribute("aria-label") or part.inner_text()


def test_a_whole_visit_with_no_network_from_relief_to_the_sheet(
    visit: Visit, app_server: Server
) -> None:
    """Both sides of the neck, the outer strings and one between are felt, what follows from them
    is taken as predicted; loaded anew in the middle it asks the same. Once the rod is turned all
    that was read before it is stale by its words, nothing is cut, and the sheet has both values."""
    page = visit.open(app_server.address).page
    to_relief(page, "electric guitar")
    kept(page)
    app_server.kill()
    visit.context.set_offline(True)
    does(page, contact(page))
    before = settled(page)
    page.reload()
    ready(page)
    shows(page, "answer-none")
    assert settled(page) == before
    for _ in range(MOST):
        if has(page, "predicted"):
            break
        does(page, contact(page))
    does(page, "predicted", "next")
    assert has(page, "answer-buzz"), "the nut is read next"
    does(page, "answer-light")
    to_stages(page)
    for part in ("relief", "action"):
        assert ". done. " in said_by(page, f"part-{part}")
    does(page, "step-done", "did-turn", "more-eighths", "step-taken", "in-tune")
    to_stages(page)
    for part in ("relief", "action", "nut"):
        assert "stale. Read before the rod was turned" in said_by(page, f"part-{part}")
    does(page, "plan")
    lines = [said_by(page, f"line-{string}") for string in range(1, 7)]
    assert [line for line in lines if "Read before the rod was turned" in line] == [lines[5]]
    assert all("Not read yet" in line for line in lines[:5])
    does(page, "hand-over")
    sheet = whole_text(page)
    assert "relief, bass side, before 8" in sheet or "relief, bass side, before 9" in sheet
    assert all(f"action of string {string} at fret 12" in sheet for string in (6, 4, 1))
    assert "Rod turned by 1 eighth of a turn" in sheet
    assert visit.outside(app_server.address) == []


def test_a_back_bow_typed_with_a_minus_is_believed_and_bars(
    visit: Visit, app_server: Server
) -> None:
    """By keys on a bass: 4 opens the pad, the minus may come last; what was typed stands below its
    window, is asked no more, and no slot is cut before it is put right."""
    page = visit.open(app_server.address).page
    to_relief(page, "bass guitar")
    page.keyboard.press("4")
    shows(page, "save-number")
    settled(page)
    for key in "12-":
        page.keyboard.press(key)
    before = settled(page)
    page.keyboard.press("Enter")
    assert "Treble side" in "\n".join(changed(page, before))
    does(page, "string-4")
    assert "−12 thou (" in text(page) and "below 6 to 22 thou" in text(page)
    assert not has(page, "answer-none")
    before = settled(page)
    page.keyboard.press("Escape")
    changed(page, before)
    assert "out. " in said_by(page, "part-relief")
    does(page, "plan")
    for string in range(1, 5):
        assert "Check first: relief" in said_by(page, f"line-{string}")
