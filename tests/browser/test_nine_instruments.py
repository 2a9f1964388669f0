"""Nine instruments from intake to a closed record in the built app, on a phone with no network.

Its page dies on the way; what was found, done and mistaken is put right, and the record agrees with
itself.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser.hand import (
    SOUND,
    changed,
    has,
    marked,
    press,
    scroll_to,
    settled,
    shows,
    state,
    unfold,
    whole_text,
)
from tests.browser.harness import Server, Visit, kept, ready, text, wait_for_text
from tests.browser.test_entered import typed
from tests.browser.test_whole_jobs import LEFT, RIGHT, SPOKEN

pytestmark = [pytest.mark.long, pytest.mark.returning]

RANGE = re.compile(r"(\d+\.\d+)(?: mm)? \((\d+\.\d+) to (\d+\.\d+)\)")
ON_PAGE = re.compile(r"String ([^,]+), .*\. (\d+\.\d+ mm \([^)]*\)), target")
CHECKED = re.compile(r"String ([^:]+): As it was.*stood at (\d+\.\d+) mm")
AT_TARGET = {"answer-light": "2", "answer-clean": "1"}
"""What is true of a string at its target, with the key that says it."""
TOO_LOW = {"answer-light": "answer-heavy", "answer-clean": "answer-normal"}
"""What is true of a string that lies low instead."""
RELIEF_MM = "0.20"
MOST = 90
"""More touches than any walk asks for."""

Figures = tuple[str, str, str]


def figures(said: str) -> Figures | None:
    """An estimate and its range as they are written; None where there are none."""
    found = RANGE.search(said)
    return (found[1], found[2], found[3]) if found else None


@dataclass
class Bench:
    """One phone on which one instrument after the other is set up."""

    visit: Visit
    address: str
    seen: list[str] = field(default_factory=list)
    """What the screen said when it came to rest."""
    closed: set[str] = field(default_factory=set)
    """The marks of the instruments whose record was read."""

    @property
    def page(self) -> Page:
        """The page as it stands now."""
        return self.visit.page

    def does(self, *marks: str) -> None:
        """Touch these one after the other, wherever they lie; wait each time until it is
        answered."""
        for mark in marks:
            if not has(self.page, mark):
                scroll_to(self.page, mark)
            before = state(self.page)
            press(self.page, mark)
            self.seen = changed(self.page, before)

    def keys(self, *keys: str) -> None:
        """Press these one after the other; wait each time until it is answered."""
        for key in keys:
            before = state(self.page)
            self.page.keyboard.press(key)
            self.seen = changed(self.page, before)

    def dies(self) -> None:
        """The page is gone without a word; a fresh one of the same phone says the same."""
        before = lasting(settled(self.page))
        self.page.close()
        self.visit.page = self.visit.context.new_page()
        self.page.add_init_script(SPOKEN)
        self.page.goto(self.address)
        ready(self.page)
        assert lasting(settled(self.page)) == before

    def takes_in(self, kind: str) -> None:
        """From home to the intake of this kind."""
        self.does("new-job", f"kind-{kind}")

    def reads(self, low: int = 0, *, by_keys: bool = False) -> None:
        """Read every string at its target but one that lies `low`, and buzzes; where it asks, neck
        and frets are sound; until the plan is there."""
        for _ in range(MOST):
            shown = shows(self.page, "hand-over", "all-true", "skip", *AT_TARGET)
            if shown == "hand-over":
                return
            if shown == "skip":
                self.does(self._card())
            elif shown in AT_TARGET and self._string() == low:
                self.does(TOO_LOW[shown])
            elif shown in AT_TARGET and by_keys:
                self.keys(AT_TARGET[shown])
            else:
                self.does(shown)
        raise AssertionError("the walk does not end")

    def _card(self) -> str:
        sound = next((mark for mark in SOUND if has(self.page, mark)), "")
        return sound or ("skip-rest" if has(self.page, "skip-rest") else "skip")

    def _string(self) -> int:
        found = re.search(r"String (\d+)", said_by(self.page, "asked"))
        return int(found[1]) if found else 0

    def stands(self, string: int) -> Figures | None:
        """Where the plan says that a string stands, its line opened and closed."""
        unfold(self.page)
        self.does(f"line-{string}")
        found = self.stands_opened()
        self.does("back")
        return found

    def stands_opened(self) -> Figures | None:
        """What the opened line of the plan says."""
        said = "\n".join(self.seen).partition("Stands at (95 % range)")[2]
        return figures(said.partition("Target")[0])


def lasting(said: list[str]) -> list[str]:
    """What a screen says but for what was kept a moment ago."""
    return [line for line in said if not line.startswith("Kept:")]


def marks(page: Page, begin: str) -> list[str]:
    """What the screen shows whose mark begins so."""
    found = page.locator(f'[flt-semantics-identifier^="{begin}"]')
    named = (one.get_attribute("flt-semantics-identifier") for one in found.all())
    return [str(mark) for mark in named]


def said_by(page: Page, mark: str) -> str:
    """What one thing says to a screen reader."""
    one = page.locator(marked(mark)).first
    return str(one.get_attribute("aria-label") or one.inner_text())


@pytest.fixture
def bench(visit: Visit, app_server: Server) -> Bench:
    """A phone that has the app and no line any more, at home, and reads millimetres."""
    visit.page.add_init_script(SPOKEN)
    page = visit.open(app_server.address).page
    kept(page)
    app_server.kill()
    visit.context.set_offline(True)
    made = Bench(visit, app_server.address)
    shows(page, "new-job")
    made.does("settings", "unit-mm", "speech-on", "back")
    return made


def the_record_agrees(bench: Bench, strings: int, *, says: str = "") -> None:
    """From the plan: the sheet is handed out and the job closed; plan, sheet, the instrument's page
    and a quick check say one clearance of each string that they speak of."""
    page = bench.page
    first = bench.stands(strings)
    bench.does("hand-over", "sheet-bench")
    with page.expect_download() as handed_out:
        press(page, "share-text")
    sheet = Path(handed_out.value.path()).read_text(encoding="utf-8")
    assert says in sheet
    wait_for_text(page, "is among the downloads")
    on_sheet = rows(sheet)
    assert len(on_sheet) == strings and next(iter(on_sheet.values())) == first is not None
    bench.does("close")
    shows(page, "new-job")
    bench.does("instruments")
    (here,) = set(marks(page, "instrument-")) - bench.closed
    bench.closed.add(here)
    bench.does(here)
    shows(page, "quick-check")
    on_page = dict(ON_PAGE.findall(whole_text(page)))
    assert {name: figures(said) for name, said in on_page.items()} == on_sheet
    bench.does("quick-check", "answer-light", "answer-light", "end")
    stood = dict(CHECKED.findall(whole_text(page)))
    assert len(stood) == 2 and stood.items() <= {n: f[0] for n, f in on_sheet.items() if f}.items()
    bench.does("done", "back", "back")
    shows(page, "new-job")


def rows(sheet: str) -> dict[str, Figures | None]:
    """Of every string by its name, what the sheet's table of them says of it after the visit."""
    table = sheet.partition("\nstring · ")[2].partition("\n\n")[0].splitlines()[1:]
    cells = [line.split(" · ") for line in table]
    return {row[0].split(",")[0]: figures(row[3]) for row in cells}


def test_a_relief_set_right_a_reading_struck_out_by_thumb_and_a_ukulele(bench: Bench) -> None:
    """Electric guitar: relief fails on its own card, is set right and measured again; the page
    dies. Mandolin: a mistaken touch is struck out by thumb and the string stands where it stood.
    Concert ukulele: read and closed."""
    page = bench.page
    bench.takes_in("electric guitar")
    bench.does("go-on", "all-true", "type-number")
    typed(page, "1.0", "mm")
    shows(page, "measure-again")
    assert "too much" in text(page)
    bench.does("measure-again")
    typed(page, RELIEF_MM, "mm")
    bench.dies()
    bench.reads()
    the_record_agrees(bench, 6, says=f"Relief: {RELIEF_MM} mm")

    bench.takes_in("mandolin")
    bench.does("measure")
    bench.reads()
    stood = bench.stands(8)
    bench.does("line-8", "again", "answer-heavy", "notes", "strike-0", "plan")
    assert bench.stands_opened() == stood
    bench.does("back")
    the_record_agrees(bench, 8)

    bench.takes_in("concert ukulele")
    bench.does("measure")
    bench.reads()
    the_record_agrees(bench, 4)


def test_a_raise_reported_done_and_two_instruments_that_are_only_read(bench: Bench) -> None:
    """Steel-string guitar: a string on its fret is to be raised; its slot is said to be filled, the
    page dies, the string is read again and stands where it was read. 12-string guitar and bass
    guitar: read and closed."""
    bench.takes_in("steel-string guitar")
    bench.does("measure")
    bench.reads(low=6)
    assert "raise" in said_by(bench.page, "line-6").lower()
    low = bench.stands(6)
    bench.does("line-6", "done-fill")
    bench.dies()
    bench.reads()
    risen = bench.stands(6)
    assert low is not None and risen is not None and risen > low
    the_record_agrees(bench, 6, says="slot filled")

    bench.takes_in("12-string guitar")
    bench.does("measure")
    bench.reads()
    the_record_agrees(bench, 12)

    bench.takes_in("bass guitar")
    bench.does("measure")
    bench.reads(by_keys=True)
    the_record_agrees(bench, 4)


def test_a_new_nut_a_reading_struck_out_by_keys_and_an_instrument_of_ones_own(
    bench: Bench,
) -> None:
    """Nylon-string guitar: a new nut is said to be fitted, the page dies, all strings are read
    again. One of one's own by its own scale: a mistaken key is struck out by keys alone. 5-string
    banjo: read and closed."""
    page = bench.page
    bench.takes_in("nylon-string guitar")
    bench.does("measure")
    bench.reads()
    bench.does("other-work", "done-new nut")
    bench.dies()
    bench.reads()
    the_record_agrees(bench, 6, says="new nut fitted")

    page = bench.page
    bench.takes_in("other")
    bench.does("fact-scale")
    typed(page, "600", "mm")
    bench.does("measure")
    bench.reads(by_keys=True)
    stood = bench.stands(6)
    bench.does("line-6", "again")
    bench.keys("3", "c")
    strikes_out_by_keys(page)
    bench.keys("p")
    assert bench.stands(6) == stood
    the_record_agrees(bench, 6, says="600 mm")

    bench.takes_in("5-string banjo")
    bench.does("measure")
    bench.reads()
    the_record_agrees(bench, 5)


def strikes_out_by_keys(page: Page) -> None:
    """On a card, light one thing after the other until the first entry would be struck out."""
    for _ in range(20):
        said = page.evaluate("said.length")
        page.keyboard.press(RIGHT)
        page.wait_for_function("(said) => window.said.length > said", arg=said)
        if page.evaluate("said.at(-1)").startswith("Strike out"):
            page.keyboard.press(LEFT)
            shows(page, "back-0")
            return
    raise AssertionError("nothing here is struck out")
