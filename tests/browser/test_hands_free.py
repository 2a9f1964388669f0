"""No hands: a key of one's own, a pedal that repeats, a voice that never ends.

A whole job by two switches is in `test_whole_jobs`.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.hand import (
    answered,
    changed,
    has,
    letters_twice_as_large,
    press,
    settled,
    shows,
    state,
)
from tests.browser.harness import Server, Visit, wait_for_text

pytestmark = pytest.mark.returning

HEIGHTS_MM = {6: 0.9, 5: 0.45, 4: 0.9, 3: 0.45, 2: 0.9, 1: 0.4}
CALLS = {6: "lower", 5: "leave", 4: "lower", 3: "leave", 2: "lower", 1: "leave"}
RING = ["answer-none", "answer-light", "answer-heavy", "answer-buzz"]
RIGHT, LEFT = "PageDown", "PageUp"
WATCH = """
window.said = []; window.felt = []; window.awake = [];
speechSynthesis.speak = (one) => said.push(one.text);
navigator.vibrate = (pattern) => felt.push(pattern);
Object.defineProperty(navigator, "wakeLock", { value: { request: async () => {
  window.lock = new EventTarget();
  lock.release = async () => { awake.push(false); };
  awake.push(true);
  return lock;
} } });
"""
"""A device that only notes down what is asked of it; speech begins and never ends."""
TURN = """(visible) => {
  Object.defineProperty(document, "visibilityState",
    { value: visible ? "visible" : "hidden", configurable: true });
  if (!visible) lock.dispatchEvent(new Event("release"));
  document.dispatchEvent(new Event("visibilitychange"));
}"""


def test_switches_faster_than_a_slow_phone_scrolls_go_on_being_heard(
    visit: Visit, app_server: Server
) -> None:
    """Lit and taken before the page has scrolled to what was lit, so that its list has gone when
    the page replies: each touch still changes the screen."""
    page = visit.open(app_server.address).page
    letters_twice_as_large(page)
    slow_down(visit, 6)
    for wait_ms in (0, 40, 60, 90) * 2:
        before = state(page)
        page.keyboard.press(RIGHT)
        page.wait_for_timeout(wait_ms)
        page.keyboard.press(LEFT)
        assert answered(page, before, 15_000)
    assert not [line for line in visit.said if "not registered" in line]


def slow_down(visit: Visit, times: float) -> None:
    """Let the page's own work take so many times as long, as on an old phone."""
    visit.context.new_cdp_session(visit.page).send(
        "Emulation.setCPUThrottlingRate", {"rate": times}
    )


def test_a_key_of_ones_own_a_voice_and_a_pedal_that_repeats(
    visit: Visit, app_server: Server
) -> None:
    """Given keys are remembered; held and repeating keys record once; comforts come and go."""
    visit.page.add_init_script(WATCH)
    page = visit.open(app_server.address).page
    press(page, "settings")
    give_key(page, "undo", "F8")
    page.keyboard.press("Escape")
    shows(page, "sample")
    visit.reload()
    press(page, "sample")
    shows(page, "asked")
    fresh = settled(page)

    hold(page, "1")
    once = changed(page, fresh)
    page.wait_for_timeout(350)
    for _ in range(4):
        page.keyboard.press("1")
    twice = changed(page, once)
    first, second = (
        [line for line in seen if line.endswith(" no contact")] for seen in (once, twice)
    )
    assert len(first) == len(second) == 1 and first != second
    assert len(page.evaluate("felt")) == 2

    assert page.evaluate("awake") == [True]
    page.evaluate(TURN, False)
    page.evaluate(TURN, True)
    page.wait_for_function("() => awake.length === 2 && awake[1]")
    assert settled(page) == twice

    page.keyboard.press("F8")
    back = changed(page, twice)
    assert [line for line in back if line.endswith(" no contact")] == first
    page.keyboard.press("F8")
    back = changed(page, back)
    assert not [line for line in back if line.endswith(" no contact")]

    assert page.evaluate("said") == []
    page.keyboard.press("s")
    page.wait_for_function("() => said.length === 1")
    assert "thou" in page.evaluate("said[0]")
    page.keyboard.press("p")
    shows(page, "measure")
    page.wait_for_function("() => awake.at(-1) === false")


def give_key(page: Page, deed: str, key: str) -> None:
    """In the settings: ask for the key of a deed and press it."""
    shows(page, "unit-mm")
    page.mouse.move(195, 500)
    for _ in range(30):
        if has(page, f"give-{deed}"):
            break
        page.mouse.wheel(0, 200)
        page.wait_for_timeout(100)
    page.mouse.wheel(0, 200)
    settled(page)
    press(page, f"give-{deed}")
    wait_for_text(page, "Press the key now")
    page.keyboard.press(key)
    wait_for_text(page, key)


def hold(page: Page, key: str) -> None:
    """Hold a key long enough for the keyboard to repeat it."""
    for _ in range(12):
        page.keyboard.down(key)
        page.wait_for_timeout(50)
    page.keyboard.up(key)
