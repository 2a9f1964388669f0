"""What a hand, a pocket and a tired phone do in the middle of a walk: nothing twice, nothing lost.

What was recorded is counted in the journal itself, as it lies in the browser's storage.
"""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import Page

from tests.browser.hand import (
    BrowserHand,
    answered,
    begin,
    changed,
    has,
    letters_twice_as_large,
    marked,
    press,
    scroll_to,
    settled,
    shows,
)
from tests.browser.harness import Server, Visit, ready, text, wait_for_text

pytestmark = pytest.mark.returning

UPRIGHT, SIDEWAYS = {"width": 390, "height": 844}, {"width": 844, "height": 390}
HEIGHTS_MM = {6: 0.9, 5: 0.45, 4: 0.9, 3: 0.45, 2: 0.9, 1: 0.4}
READINGS = """async () => {
  const found = new Set();
  const look = async (folder) => {
    for await (const [, entry] of folder) {
      if (entry.kind === "directory") { await look(entry); continue; }
      for (const line of (await (await entry.getFile()).text()).split("\\n")) {
        if (!/^[0-9a-f]{8} [0-9a-f]{8} /.test(line)) continue;
        let told;
        try { told = JSON.parse(line.slice(18)); } catch { continue; }
        (told.events || []).filter(({ kind }) => kind === "reading.taken")
          .forEach(({ device, seq }) => found.add(`${device}:${seq}`));
      }
    }
  };
  await look(await navigator.storage.getDirectory());
  return found.size;
}"""
"""How many readings the journal in the private file system holds."""
VOICE = """
window.said = []; window.cut = 0;
window.SpeechSynthesisUtterance = class extends EventTarget {
  constructor(text) { super(); this.text = text; }
};
Object.defineProperty(window, "speechSynthesis", { value: {
  speaking: true, pending: false,
  getVoices: () => [{ name: "Bench", lang: "en-GB", localService: true }],
  speak: (one) => said.push(one), cancel: () => { cut += 1; }, addEventListener: () => {},
} });
"""
"""A voice that begins and never ends by itself."""
END_LATE = """() => said.forEach((one) => ["boundary", "end", "error", "end"]
  .forEach((name) => {
    one.dispatchEvent(new Event(name));
    one["on" + name]?.(new Event(name));
  }))"""
REFUSING = """
Object.defineProperty(navigator, "wakeLock", { value: { request: async () => {
  window.asked = (window.asked || 0) + 1;
  throw new DOMException("The battery is low", "NotAllowedError");
} } });
"""
HIDDEN = """(hidden) => {
  Object.defineProperty(document, "visibilityState",
    { value: hidden ? "hidden" : "visible", configurable: true });
  Object.defineProperty(document, "hidden", { value: hidden, configurable: true });
  document.dispatchEvent(new Event("visibilitychange"));
}"""


def readings(page: Page) -> int:
    """Readings in the journal now."""
    return int(page.evaluate(READINGS))


def turn(page: Page) -> None:
    """The phone is turned on its other side."""
    on_its_side = page.viewport_size == SIDEWAYS
    page.set_viewport_size(UPRIGHT if on_its_side else SIDEWAYS)  # type: ignore[arg-type]


@pytest.fixture(params=[UPRIGHT, SIDEWAYS], ids=["upright", "on its side"])
def held(visit: Visit, request: pytest.FixtureRequest) -> Visit:
    """A phone held one way or the other."""
    visit.page.set_viewport_size(request.param)
    return visit


@pytest.mark.long
def test_a_phone_turned_at_every_answer_records_each_once(held: Visit, app_server: Server) -> None:
    """Turned before each answer and again while it is on its way; the way back shows the same."""
    page = held.open(app_server.address).page
    begin(page)
    hand = BrowserHand(HEIGHTS_MM)
    count = 0
    while not has(page, "measure"):
        mark = hand.mark(page)
        turn(page)
        _whole(page)  # a finger goes where the answer is seen
        press(page, mark)
        turn(page)
        count += 1
        _recorded(page, count)
        after = _whole(page)
        turn(page)
        page.wait_for_timeout(300)
        turn(page)
        page.wait_for_timeout(300)
        assert _whole(page) == after
        assert readings(page) == count <= 40
    assert count >= 6


def _whole(page: Page) -> list[str]:
    """All that the screen says, in no order, once all of it is drawn for the way it is held.

    The answers stand in the lower half, or in the right one on its side. For a moment after a turn
    they still stand as before, only narrower or lower: what is touched then moves away.
    """
    page.wait_for_function(
        """([answers, plan]) => {
            const boxes = Array.from(document.querySelectorAll(answers))
                .map((answer) => answer.getBoundingClientRect());
            const stands = innerWidth > innerHeight ? ({ left }) => left > innerWidth / 2
                : ({ top }) => top > innerHeight / 2;
            return (boxes.length === 4 && boxes.every(stands)) || document.querySelector(plan);
        }""",
        arg=['[flt-semantics-identifier^="answer-"]', marked("measure")],
    )
    return sorted(settled(page))


def _recorded(page: Page, count: int) -> None:
    """Wait until the journal holds so many readings and the screen has followed."""
    for _ in range(100):
        if readings(page) >= count:
            break
        page.wait_for_timeout(100)
    assert readings(page) == count
    page.wait_for_timeout(500)


@pytest.mark.alone
def test_two_answers_within_a_tenth_of_a_second_are_one(held: Visit, app_server: Server) -> None:
    """Two thumbs on two answers: the first counts, the other is a bounce; so for a screen reader's
    taps. An answer half a second later is one of its own."""
    page = held.open(app_server.address).page
    begin(page)
    for taken, both in enumerate((_with_thumbs, _by_name), start=1):
        before = settled(page)
        both(page)
        after = changed(page, before)
        page.wait_for_timeout(500)
        assert settled(page) == after
        assert readings(page) == taken
        assert any("no contact" in line for line in after)
        press(page, "undo")
        assert changed(page, after) == before
        page.wait_for_timeout(500)


def _with_thumbs(page: Page) -> None:
    """Touch "no contact" and at once "heavy contact"."""
    spots = []
    for mark in ("answer-none", "answer-heavy"):
        box = page.locator(marked(mark)).bounding_box()
        assert box
        spots.append((box["x"] + box["width"] / 2, box["y"] + box["height"] / 2))
    start = time.monotonic()
    for spot in spots:
        page.touchscreen.tap(*spot)
    if time.monotonic() - start > 0.25:
        pytest.skip("this machine is too busy to tap twice within a quarter of a second")


def _by_name(page: Page) -> None:
    """The same through the accessibility tree, 60 ms apart by the page's own clock."""
    page.evaluate(
        """([first, second]) => {
             document.querySelector(first).click();
             setTimeout(() => document.querySelector(second)?.click(), 60);
           }""",
        [marked("answer-none"), marked("answer-heavy")],
    )


def test_a_voice_that_never_ends_or_ends_late_holds_nothing_up(
    visit: Visit, app_server: Server
) -> None:
    """Spoken prompts on: each prompt cuts the last one off, nothing waits, late ends do nothing."""
    visit.page.add_init_script(VOICE)
    page = visit.open(app_server.address).page
    press(page, "settings")
    scroll_to(page, "speech-on")
    press(page, "speech-on")
    settled(page)
    page.keyboard.press("Escape")
    shows(page, "sample")
    begin(page)
    page.wait_for_function("() => said.some((one) => one.text.startsWith('String 6'))")
    hand = BrowserHand(HEIGHTS_MM)
    for count in range(1, 5):
        before = page.evaluate("[said.length, cut]")
        hand.answer(page)
        assert readings(page) == count
        page.wait_for_function("(before) => said.length > before", arg=before[0])
        assert page.evaluate("cut") > before[1]
    now, spoken = settled(page), page.evaluate("said.length")
    page.evaluate(END_LATE)
    page.wait_for_timeout(600)
    assert settled(page) == now and readings(page) == 4
    assert page.evaluate("said.length") == spoken
    hand.answer(page)
    assert readings(page) == 5


def test_a_refused_wake_lock_costs_nothing_and_is_said(visit: Visit, app_server: Server) -> None:
    """The browser says no: the walk goes on, and the settings say that and why."""
    visit.page.add_init_script(REFUSING)
    page = visit.open(app_server.address).page
    begin(page)
    page.wait_for_function("() => window.asked > 0")
    hand = BrowserHand(HEIGHTS_MM)
    for count in range(1, 4):
        hand.answer(page)
        assert readings(page) == count
    page.keyboard.press("h")
    shows(page, "settings")
    press(page, "settings")
    scroll_to(page, "awake-off")
    wait_for_text(page, "The screen cannot be kept on now")


def test_the_app_sent_away_in_the_middle_of_a_walk(held: Visit, app_server: Server) -> None:
    """Hidden and frozen with an answer under way, again and again, and then discarded: awake
    again, the answer is there once; after the discard the walk stands where it stood."""
    page = held.open(app_server.address).page
    begin(page)
    hand = BrowserHand(HEIGHTS_MM)
    life = held.context.new_cdp_session(page)
    for count in range(1, 5):
        before = settled(page)
        mark = hand.mark(page)
        page.evaluate(HIDDEN, False)
        press(page, mark)
        page.evaluate(HIDDEN, True)
        life.send("Page.setWebLifecycleState", {"state": "frozen"})
        time.sleep(0.4)
        life.send("Page.setWebLifecycleState", {"state": "active"})
        page.evaluate(HIDDEN, False)
        after = changed(page, before)
        assert readings(page) == count
    press(page, "undo")
    undone = changed(page, after)
    press(page, hand.mark(page))
    again = changed(page, undone)
    assert again == after and readings(page) == 5
    life.send("Page.setWebLifecycleState", {"state": "frozen"})
    size = page.viewport_size
    page.close()  # as a browser that needs the memory discards it

    back = held.context.new_page()
    back.set_viewport_size(size)  # type: ignore[arg-type]
    back.goto(app_server.address)
    ready(back)
    shows(back, "asked")
    assert settled(back) == again and readings(back) == 5


def test_with_letters_twice_as_large_the_walk_fits_and_does_not_scroll(
    held: Visit, app_server: Server
) -> None:
    """At 200 % four answers lie whole on the screen and apart, wheel and swipe move nothing, and
    keys lead to the plan with each answer recorded once."""
    page = held.open(app_server.address).page
    letters_twice_as_large(page)
    _begin_by_keys(page)
    assert page.viewport_size
    wide, high = page.viewport_size["width"], page.viewport_size["height"]
    first = _answers(page)
    for left, top, right, bottom in first:
        assert left >= 0 and top >= 0 and right <= wide + 1 and bottom <= high + 1
        assert right - left >= 72 and bottom - top >= min(72, 0.2 * min(wide, high))
    page.mouse.move(wide / 2, high / 3)
    page.mouse.wheel(0, 400)
    page.wait_for_timeout(400)
    assert _answers(page) == first
    hand = BrowserHand(HEIGHTS_MM)
    count = 0
    while has(page, "asked"):  # the buttons of the plan lie below its edge
        before = settled(page)
        page.keyboard.press(_digit(hand.mark(page), page))
        changed(page, before)
        count += 1
        assert readings(page) == count <= 40


def _answers(page: Page) -> list[tuple[float, float, float, float]]:
    """Left, top, right and bottom of the four answers; none touches another."""
    found = []
    for each in page.locator('[flt-semantics-identifier^="answer-"]').all():
        box = each.bounding_box()
        assert box
        found.append((box["x"], box["y"], box["x"] + box["width"], box["y"] + box["height"]))
    assert len(found) == 4
    for place, (left, top, right, bottom) in enumerate(found):
        for other in found[place + 1 :]:
            apart = right <= other[0] or other[2] <= left or bottom <= other[1] or other[3] <= top
            assert apart, (found[place], other)
    return found


def _digit(mark: str, page: Page) -> str:
    """The key of an answer: they are counted as they are drawn."""
    marks = [
        str(each.get_attribute("flt-semantics-identifier"))
        for each in page.locator('[flt-semantics-identifier^="answer-"]').all()
    ]
    return str(marks.index(mark) + 1)


def _begin_by_keys(page: Page) -> None:
    """To the first string by two switches, as buttons may lie below the edge of the screen."""
    for _ in range(44):
        if has(page, "asked"):
            settled(page)
            return
        before = settled(page)
        page.keyboard.press("PageDown")
        page.keyboard.press("PageUp")
        answered(page, before)  # drawn anew in between, nothing was lit: once more
    raise AssertionError(f"no walk: {text(page)}")
