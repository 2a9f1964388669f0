"""The quick check in the built app: six taps from an instrument's own record, with no network."""

from __future__ import annotations

import re
import time

import pytest
from playwright.sync_api import Page

from tests.browser.hand import BrowserHand, changed, has, marked, press, settled, shows
from tests.browser.harness import Server, Visit, kept, text, wait_for_text

pytestmark = pytest.mark.returning

AS_IT_WAS = {6: 0.72, 5: 0.5, 4: 0.6, 3: 0.45, 2: 0.42, 1: 0.4}
"""Near what the sample's own readings say of its strings."""
WITHIN_S = 30.0
"""What a check may take at the side of a stage, the tapping included."""


def measure_the_sample(page: Page) -> BrowserHand:
    """The sample job measured to its plan; the hand that knows its strings."""
    press(page, "sample")
    shows(page, "asked")
    hand = BrowserHand(AS_IT_WAS)
    while not has(page, "measure"):
        hand.answer(page)
        assert len(hand.given) <= 6 * 8
    return hand


def to_the_instrument(page: Page) -> None:
    """From the plan of its job, or from home, to the page of the one instrument."""
    if has(page, "measure"):
        before = settled(page)
        press(page, "back")
        changed(page, before)
    press(page, "instruments")
    shows(page, "several")
    settled(page)
    page.locator('[flt-semantics-identifier^="instrument-"]').first.click()
    shows(page, "quick-check")
    settled(page)


@pytest.mark.alone
def test_six_taps_offline_say_that_nothing_has_moved(visit: Visit, app_server: Server) -> None:
    """The server is dead and the network gone: one leaf a string, and the answer within half a
    minute; it stands in the instrument's history."""
    page = visit.open(app_server.address).page
    shows(page, "sample")
    hand = measure_the_sample(page)
    kept(page)
    app_server.kill()
    visit.context.set_offline(True)
    to_the_instrument(page)

    hand.given.clear()
    begun = time.monotonic()
    press(page, "quick-check")
    shows(page, "asked")
    while shows(page, "asked", "found") == "asked":
        hand.answer(page)
        assert len(hand.given) <= 6
    took_s = time.monotonic() - begun
    assert len(hand.given) == 6
    assert took_s < WITHIN_S
    found = page.locator(marked("found"))
    said = found.get_attribute("aria-label") or found.inner_text()
    assert "Nothing has moved" in said

    press(page, "done")
    shows(page, "quick-check")
    wait_for_text(page, "quick check: nothing moved")


def test_a_string_that_dropped_is_named_and_an_answer_can_be_taken_back(
    visit: Visit, app_server: Server
) -> None:
    """One heavy answer where none was expected: the string is named; undo stands there again."""
    page = visit.open(app_server.address).page
    shows(page, "sample")
    measure_the_sample(page)
    to_the_instrument(page)
    press(page, "quick-check")
    shows(page, "asked")
    first = settled(page)
    press(page, "answer-heavy")
    changed(page, first)
    press(page, "end")
    shows(page, "found")
    settled(page)
    assert re.search(r"String 6: lower than it was", text(page))
    press(page, "undo")
    shows(page, "asked")
    assert settled(page) == first


def test_an_instrument_is_found_as_it_is_written(visit: Visit, app_server: Server) -> None:
    """Letters narrow the list and nothing else happens; what finds nothing says so."""
    page = visit.open(app_server.address).page
    shows(page, "sample")
    measure_the_sample(page)
    to_the_instrument(page)
    before = settled(page)
    press(page, "back")
    changed(page, before)
    page.locator("input").first.focus()
    page.keyboard.type("alder", delay=10)
    wait_for_text(page, "1 on record")
    assert has(page, "several")
    page.keyboard.type("uh", delay=10)
    wait_for_text(page, "None found")
    assert page.locator("input").first.input_value() == "alderuh"
