"""Whole jobs from the first screen to the closed record, offline, upright and on its side.

Six strings walked, one slot cut and proven, the sheet read and the job closed: by thumb, by two
switches with the ears alone, and by what a screen reader can do.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import pytest
from playwright.sync_api import Locator, Page

from tests.browser.hand import (
    SOUND,
    BrowserHand,
    answered,
    card_answer,
    changed,
    has,
    leaves,
    marked,
    settled,
    shows,
    unfold,
    whole_text,
)
from tests.browser.harness import Server, Visit, kept

pytestmark = [pytest.mark.long, pytest.mark.returning]

HEIGHTS_MM = {6: 0.75, 5: 0.45, 4: 0.45, 3: 0.45, 2: 0.42, 1: 0.4}
CALLS = {6: "lower", 5: "leave", 4: "leave", 3: "leave", 2: "leave", 1: "leave"}
ANSWERS = ["No contact", "Light contact", "Heavy contact", "Buzzes open"]
STROKE_MM = 0.016
"""What one stroke takes off the clearance at this made-up slot."""
MOST = 60
"""More answers than any walk or cut asks for."""
SIZES = {"upright": (390, 844), "on its side": (844, 390)}


class Way(Protocol):
    """How a person gets at what is on the screen."""

    def touch(self, page: Page, mark: str) -> None:
        """Do what this mark stands for, wherever in its list it is."""


class Thumb:
    """Touches what it sees and pulls lists along."""

    def touch(self, page: Page, mark: str) -> None:
        """Tap it; first bring it into sight."""
        self.found(page, mark).click()

    def found(self, page: Page, mark: str) -> Locator:
        """What carries this mark; the list is moved on until it is there."""
        place = page.locator(marked(mark)).first
        for _ in range(30):
            if place.count():
                break
            self.pull(page)
            page.wait_for_timeout(100)
        return place

    def pull(self, page: Page) -> None:
        """Move the list on."""
        lists = page.locator("flt-semantics[style*='overflow-y: scroll']")
        box = lists.first.bounding_box()
        assert box, "nothing here can be moved"
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.mouse.wheel(0, 150)


class Names(Thumb):
    """Finds names in the accessibility tree and activates them: no place, no pointer."""

    def touch(self, page: Page, mark: str) -> None:
        """Activate it; first have the list scrolled until it is there."""
        self.found(page, mark).evaluate("(each) => each.click()")

    def pull(self, page: Page) -> None:
        """Ask the list itself to scroll."""
        lists = page.locator("flt-semantics[style*='overflow-y: scroll']")
        lists.first.evaluate("(each) => { each.scrollTop += 150; }")


SPOKEN = "window.said = []; speechSynthesis.speak = (one) => said.push(one.text);"
ANNOUNCED = """() => {
  window.heard = [];
  const hear = () => document.querySelectorAll("[aria-live]").forEach((each) => {
    const said = each.textContent.trim();
    if (said && said !== heard.at(-1)) heard.push(said);
  });
  const all = { subtree: true, childList: true, characterData: true };
  const roots = [document.body, ...[...document.querySelectorAll("*")]
    .map((each) => each.shadowRoot).filter(Boolean)];
  roots.forEach((root) => new MutationObserver(hear).observe(root, all));
}"""
"""What a screen reader is told of, noted."""
RIGHT, LEFT = "PageDown", "PageUp"
HEARD_AS = {
    "new-job": "Start a job",
    "kind-electric guitar": "electric guitar",
    "go-on": "Questions first",
    "all-true": "All true",
    "relief-ok": "Measured, in range",
    "frets-ok": "Sound",
    "skip-rest": "Skip all",
    "skip": "Skip",
    "answer-none": "No contact",
    "answer-light": "Light contact",
    "answer-heavy": "Heavy contact",
    "answer-clean": "Rings clean",
    "line-6": "String 6",
    "cut": "Cut",
    "filed": "Made",
    "prove": "Prove",
    "hand-over": "Hand over",
    "close": "Close the job",
}


class Switches:
    """Lights one thing after another, hears what it is called, and takes what was wanted."""

    def touch(self, page: Page, mark: str) -> None:
        """Go round until it is heard; then take it."""
        for _ in range(60):
            said = page.evaluate("said.length")
            page.keyboard.press(RIGHT)
            page.wait_for_function("(said) => window.said.length > said", arg=said)
            if page.evaluate("said.at(-1)").lower().startswith(HEARD_AS[mark].lower()):
                page.keyboard.press(LEFT)
                return
        raise AssertionError(f"{mark} is nowhere in the ring")


WAYS: dict[str, Way] = {"thumb": Thumb(), "switches": Switches(), "names": Names()}


@dataclass
class Worker:
    """Does a whole job in one way, filing one slot as the screen says and answering truly."""

    page: Page
    way: Way
    heights_mm: dict[int, float] = field(default_factory=lambda: dict(HEIGHTS_MM))
    strokes: int = 0
    seen: list[str] = field(default_factory=list)
    """What the screen said when it came to rest."""

    def does(self, mark: str) -> None:
        """Touch one thing and wait until the screen has answered."""
        before = self.seen or settled(self.page)
        for _ in range(3):  # what was drawn anew in between took nothing: once more
            self.way.touch(self.page, mark)
            if answered(self.page, before):
                break
        self.seen = changed(self.page, before)

    def begins(self) -> None:
        """From home to the first string."""
        for mark in ("new-job", "kind-electric guitar", "go-on", "all-true"):
            shows(self.page, mark)
            self.does(mark)
        sound = set(SOUND)
        while shows(self.page, "skip", "asked") == "skip":
            mark = card_answer(self.page)
            sound.discard(mark)
            rest = not sound and has(self.page, "skip-rest")
            self.does("skip-rest" if rest else mark)

    def walks(self) -> None:
        """Every string, until the plan is there."""
        for _ in range(MOST):
            if has(self.page, "measure"):
                return
            self.does(BrowserHand(self.heights_mm).mark(self.page))
        raise AssertionError("the walk does not end")

    def cuts(self, string: int) -> None:
        """From the plan until the slot is proven."""
        self.does(f"line-{string}")
        self.does("cut")
        for _ in range(MOST):
            mark = shows(self.page, "hand-over", "filed", "prove", "answer-none", "answer-clean")
            if mark == "hand-over":
                return
            self.does(self._files(string) if mark == "filed" else self._answers(string, mark))
        raise AssertionError("the cut does not end")

    def _files(self, string: int) -> str:
        said = self.page.locator(marked("filed")).first
        words = str(said.get_attribute("aria-label") or said.inner_text())
        made = int("".join(filter(str.isdigit, words)))
        self.strokes += made
        self.heights_mm[string] -= made * STROKE_MM / (1 + ("half" in words))
        return "filed"

    def _answers(self, string: int, mark: str) -> str:
        if mark != "answer-none":
            return mark
        gap = self.heights_mm[string] - sum(leaf.mm for leaf in leaves(self.page))
        return "answer-light" if abs(gap) <= 0.015 else "answer-none" if gap > 0 else "answer-heavy"


@pytest.mark.parametrize("size", SIZES)
def test_whole_jobs_offline(size: str, visit: Visit, app_server: Server) -> None:
    """On a page just opened without a network, three jobs one after the other: by thumb, by two
    switches, by names. Each string gets the call that its truth asks for, every answer is told to
    a screen reader, the cut slot is proven, and the job is closed."""
    width, height = SIZES[size]
    visit.page.set_viewport_size({"width": width, "height": height})
    visit.page.add_init_script(SPOKEN)
    page = visit.open(app_server.address).page
    kept(page)
    _have_it_speak(page)
    app_server.kill()
    visit.context.set_offline(True)
    visit.reload()
    page.evaluate(ANNOUNCED)
    for way in WAYS.values():
        _does_a_whole_job(Worker(page, way))


def _does_a_whole_job(worker: Worker) -> None:
    page = worker.page
    page.evaluate("heard.length = 0")
    worker.begins()
    _are_named(page)
    worker.walks()
    _calls(page)
    _announced(page)
    worker.cuts(6)
    worker.does("hand-over")
    shows(page, "sheet-owner")
    assert worker.strokes > 0 and not has(page, "prove-6")
    worker.does("close")
    shows(page, "new-job")


def _have_it_speak(page: Page) -> None:
    """In the settings, before the job: what is lit is said."""
    thumb = WAYS["thumb"]
    for mark in ("settings", "speech-on", "back"):
        before = settled(page)
        thumb.touch(page, mark)
        changed(page, before)
    shows(page, "new-job")


def _are_named(page: Page) -> None:
    """Every button has a name, the answers in the order of the heights they mean; one heading."""
    buttons = page.locator("[role=button]").all()
    names = [each.get_attribute("aria-label") or each.inner_text() for each in buttons]
    assert all(name.strip() for name in names)
    assert [name for name in names if name in ANSWERS] == ANSWERS
    assert page.locator("h1, [role=heading]").count() == 1


def _announced(page: Page) -> None:
    """Each kept answer was told, each string that came next, and after the last answer the plan."""
    heard = "\n".join(page.evaluate("heard"))
    first, *others = HEIGHTS_MM
    for string in (first, *others[:-1]):
        assert f"Saved: string {string}," in heard
    for string in others:
        assert f"String {string}, " in heard
    assert "1 to lower, 5 to leave" in heard


def _calls(page: Page) -> None:
    """Every string's line of the plan begins with the call that its truth asks for."""
    unfold(page)
    said = whole_text(page).lower().splitlines()
    for string, call in CALLS.items():
        lines = [line for line in said if line.startswith(f"string {string} ")]
        assert any(call in line for line in lines), (string, call, lines)
