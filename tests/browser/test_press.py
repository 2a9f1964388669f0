"""A finger's press is seen at once, and costs no drawing of its own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from playwright.sync_api import CDPSession, Page

from tests.browser.hand import changed, marked, press, settled, shows
from tests.browser.harness import PHONE, Server, Visit

pytestmark = pytest.mark.returning

COUNT_FRAMES = """() => {
    const ask = requestAnimationFrame;
    window.requestAnimationFrame = (draw) => { window.asked += 1; return ask(draw); };
}"""
LIGHT = """() => {
    const light = document.getElementById('press');
    if (!light || light.style.display === 'none') return null;
    const { x, y, width, height } = light.getBoundingClientRect();
    return { x, y, width, height };
}"""
OUT_MS = 400
"""By then the light is out."""
ANSWER = "answer-light"


def walking(visit: Visit, address: str) -> CDPSession:
    """The first string of a walk, and a finger to touch it with."""
    visit.open(address)
    press(visit.page, "sample")
    shows(visit.page, ANSWER)
    settled(visit.page)
    return visit.context.new_cdp_session(visit.page)


def rounded(box: Mapping[str, Any]) -> dict[str, float]:
    """A box to a tenth of a pixel."""
    return {name: round(float(value), 1) for name, value in box.items()}


def place(page: Page, mark: str) -> dict[str, float]:
    """Where what carries this mark stands."""
    box = page.locator(marked(mark)).bounding_box()
    assert box is not None
    return rounded({**box})


def finger(session: CDPSession, kind: str, page: Page, mark: str, aside: float = 0) -> None:
    """Put a finger on the middle of what carries this mark, move it `aside`, or lift it."""
    at = place(page, mark)
    x, y = at["x"] + at["width"] / 2 + aside, at["y"] + at["height"] / 2
    points = [] if kind == "touchEnd" else [{"x": x, "y": y}]
    session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def light(page: Page) -> dict[str, float] | None:
    """Where the light of a press is, while there is one."""
    found = page.evaluate(LIGHT)
    return rounded(found) if found else None


def test_a_press_is_lit_while_the_finger_is_down(app_server: Server, visit: Visit) -> None:
    """What lies under the finger is lit before it is lifted, and nothing is answered by then."""
    session, page = walking(visit, app_server.address), visit.page
    before = settled(page)
    finger(session, "touchStart", page, ANSWER)
    assert light(page) == place(page, ANSWER)
    page.wait_for_timeout(OUT_MS)
    assert settled(page) == before and light(page) == place(page, ANSWER)
    finger(session, "touchEnd", page, ANSWER)
    changed(page, before)
    assert light(page) is None


def test_a_finger_that_slips_away_presses_nothing(app_server: Server, visit: Visit) -> None:
    """The light goes out as soon as the finger slips off, and no answer is taken."""
    session, page = walking(visit, app_server.address), visit.page
    before = settled(page)
    finger(session, "touchStart", page, ANSWER)
    finger(session, "touchMove", page, ANSWER, aside=PHONE["width"] / 2)
    assert light(page) is None
    finger(session, "touchEnd", page, ANSWER)
    assert settled(page) == before


def test_an_answer_is_drawn_once(app_server: Server, visit: Visit) -> None:
    """From an answer to the next thing asked the screen is drawn once: no ripple, no focus that
    moves, nothing before Python's answer. What is saved is told again a little later at most."""
    session, page = walking(visit, app_server.address), visit.page
    page.evaluate(COUNT_FRAMES)
    for mark in (ANSWER, "answer-none", "answer-heavy"):
        before = settled(page)
        page.evaluate("() => { window.asked = 0; }")
        finger(session, "touchStart", page, mark)
        finger(session, "touchEnd", page, mark)
        page.wait_for_timeout(OUT_MS)
        changed(page, before)
        assert page.evaluate("() => window.asked") == 1
        assert page.evaluate("() => document.activeElement.closest('[role=button]')") is None
