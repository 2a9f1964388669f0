"""A hand at the app in a browser: finds things by their marks, answers what is true, reads back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from playwright.sync_api import Page

from shared.units import Length
from tests.browser.harness import text

PASSING = ("Saved:", "Not sure?", "Taken back:", "Stands again:", "Leaves assumed:")
"""Lines that come and go without anything being recorded."""


SOUND = ("relief-ok", "frets-ok")
"""The answers of a neck and of frets that were looked at."""


def marked(mark: str) -> str:
    """The selector of what carries this mark."""
    return f'[flt-semantics-identifier="{mark}"]'


def shows(page: Page, *marks: str) -> str:
    """Wait until one of these is on the screen; which it is."""
    while True:
        page.wait_for_selector(", ".join(map(marked, marks)), state="attached")
        for mark in marks:
            if page.locator(marked(mark)).count():
                return mark
        # It was drawn anew between the two looks.


def press(page: Page, mark: str) -> None:
    """Tap what carries this mark."""
    page.locator(marked(mark)).first.click()


def has(page: Page, mark: str) -> bool:
    """Whether the screen shows this mark now."""
    return page.locator(marked(mark)).count() > 0


def scroll_to(page: Page, mark: str) -> None:
    """Scroll down until this mark is drawn and lies on the screen."""
    shows(page, "back")
    size = page.viewport_size
    assert size
    page.mouse.move(size["width"] / 2, size["height"] / 2)
    for _ in range(60):
        box = page.locator(marked(mark)).first.bounding_box() if has(page, mark) else None
        if box and box["y"] + box["height"] < size["height"] - 10:
            settled(page)
            return
        page.mouse.wheel(0, 160)
        page.wait_for_timeout(120)
    raise AssertionError(f"{mark} is not there: {re.sub(chr(10), ' | ', text(page))}")


def unfold(page: Page) -> None:
    """On a plan, show the slots that are left as they are, where they are folded into a line."""
    size = page.viewport_size
    assert size
    page.mouse.move(size["width"] * 3 / 4, size["height"] * 0.6)
    for _ in range(8):
        if has(page, "left-alone"):
            before = settled(page)
            press(page, "left-alone")
            changed(page, before)
            break
        page.mouse.wheel(0, 300)
        page.wait_for_timeout(120)
    page.mouse.wheel(0, -100_000)
    settled(page)


def whole_text(page: Page) -> str:
    """All that the page says, from its top to its end; it is left at its top."""
    size = page.viewport_size
    assert size
    page.mouse.move(size["width"] * 3 / 4, size["height"] * 0.6)  # over the list, on its side too
    said, now = text(page), ""
    while now != (now := "\n".join(settled(page))):
        said += "\n" + now
        page.mouse.wheel(0, 600)
    page.mouse.wheel(0, -100_000)
    settled(page)
    return said


def letters_twice_as_large(page: Page) -> None:
    """From home to the settings, all letters to 200 %, and home again."""
    press(page, "settings")
    scroll_to(page, "size-200")
    press(page, "size-200")
    settled(page)
    page.keyboard.press("Escape")
    shows(page, "new-job")
    settled(page)


def state(page: Page) -> list[str]:
    """Everything the screen says that stands in the record: no word on what was just saved."""
    return [line for line in text(page).splitlines() if not line.startswith(PASSING)]


def settled(page: Page) -> list[str]:
    """`state` once the screen has stopped changing."""
    before: list[str] = []
    for _ in range(50):
        page.wait_for_timeout(120)
        now = state(page)
        if now and now == before:
            return now
        before = now
    raise AssertionError("the screen does not come to rest")


def answered(page: Page, before: list[str], within_ms: int = 5000) -> bool:
    """Whether the screen comes to say something else than `before` in that time."""
    for _ in range(within_ms // 50):
        if state(page) != before:
            return True
        page.wait_for_timeout(50)
    return False


def changed(page: Page, before: list[str]) -> list[str]:
    """The screen's settled state once it is another than `before`."""
    assert answered(page, before, 15_000), "the screen did not answer"
    return settled(page)


def begin(page: Page, kind: str = "electric guitar") -> None:
    """From home to the first string of a job on an instrument of this kind."""
    press(page, "new-job")
    shows(page, "kind-electric guitar")
    scroll_to(page, f"kind-{kind}")
    press(page, f"kind-{kind}")
    shows(page, "go-on")
    press(page, "go-on")
    shows(page, "all-true")
    press(page, "all-true")
    while shows(page, "skip", "asked") == "skip":
        before = settled(page)
        press(page, card_answer(page))
        changed(page, before)
    settled(page)


def card_answer(page: Page) -> str:
    """What is touched on a card: relief and frets are sound, without which nothing is cut; what
    else is asked is skipped."""
    return next((mark for mark in SOUND if has(page, mark)), "skip")


@dataclass
class BrowserHand:
    """Answers what is true of `clearances_mm`; every open string that is asked rings clean."""

    clearances_mm: Mapping[int, float]
    given: list[str] = field(default_factory=list)

    def answer(self, page: Page) -> list[str]:
        """Answer what the screen asks, once; the state after it."""
        before = settled(page)
        mark = self.mark(page)
        self.given.append(mark)
        press(page, mark)
        return changed(page, before)

    def mark(self, page: Page) -> str:
        """The answer that is true of what is asked."""
        if has(page, "answer-clean"):
            return "answer-clean"
        string, leaves = asked(page)
        gap = self.clearances_mm[string] - sum(leaf.mm for leaf in leaves)
        if abs(gap) <= 0.015:
            return "answer-light"
        return "answer-none" if gap > 0 else "answer-heavy"


def asked(page: Page) -> tuple[int, list[Length]]:
    """The string and the leaves that the walk's live region speaks of."""
    found = re.search(r"String (\d+)", _spoken(page))
    assert found, _spoken(page)
    return int(found[1]), leaves(page)


def leaves(page: Page) -> list[Length]:
    """The leaf, or two together, that is to be slid in."""
    found = re.search(r": ([\d.,+ ]+) (thou|in|mm)\b", _spoken(page))
    assert found, _spoken(page)
    return [Length.parse(f"{leaf} {found[2]}") for leaf in found[1].split(" + ")]


def _spoken(page: Page) -> str:
    live = page.locator(marked("asked"))
    return live.get_attribute("aria-label") or live.inner_text()
