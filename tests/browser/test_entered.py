"""An instrument is entered where it is first needed: in the built app, offline, with a kill."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page

from tests.browser.hand import changed, has, marked, press, scroll_to, settled, shows, state
from tests.browser.harness import Server, Visit, kept, ready, text

FIGURES = {".": "Point"}
RIGHT, LEFT = "PageDown", "PageUp"
"""Keys of two switches: light the next thing, take it."""


def typed(page: Page, figure: str, unit: str) -> None:
    """A figure on the number pad, in a unit, saved."""
    shows(page, "save-number")
    settled(page)
    press(page, f"unit-{unit}")
    for key in figure:
        press(page, f"key-{FIGURES.get(key, key)}")
    before = settled(page)
    press(page, "save-number")
    changed(page, before)


def touched(page: Page, row: str, shown: str) -> None:
    """A row of the intake, and what it leads to."""
    scroll_to(page, row)
    press(page, row)
    shows(page, shown)
    settled(page)


def written(page: Page, lines: dict[str, str]) -> None:
    """Lines to write in, by their names."""
    for name, words in lines.items():
        page.get_by_label(name).first.click()
        page.keyboard.type(words)


def row(page: Page, key: str) -> str:
    """What a row of the intake says to a screen reader."""
    found = page.locator(marked(f"fact-{key}")).first
    return found.get_attribute("aria-label") or found.inner_text()


def back_to_intake(page: Page) -> None:
    """From a page of the instrument to the intake, at its top."""
    before = settled(page)
    press(page, "back")
    changed(page, before)
    shows(page, "measure", "go-on")


@pytest.fixture
def offline(visit: Visit, app_server: Server) -> Visit:
    """A phone that has the app and no line any more, at home."""
    page = visit.open(app_server.address).page
    shows(page, "new-job")
    kept(page)
    app_server.kill()
    visit.context.set_offline(True)
    return visit


def killed(visit: Visit, app_server: Server) -> Page:
    """The page is gone without a word; a fresh one of the same phone."""
    visit.page.close()
    page = visit.page = visit.context.new_page()
    page.goto(app_server.address)
    ready(page)
    return page


def taken_in(page: Page, kind: str = "electric guitar") -> None:
    """From home to the intake of this kind."""
    press(page, "new-job")
    shows(page, f"kind-{kind}")
    press(page, f"kind-{kind}")
    shows(page, "measure")
    settled(page)


def test_an_instrument_is_entered_at_its_intake_with_the_page_killed_on_the_way(
    offline: Visit, app_server: Server
) -> None:
    """Scale, a gauge, one string more, owner and ticket, each from the row that shows it; nothing
    is lost when the page dies, and the walk begins at the string that was added."""
    page = offline.page
    taken_in(page)
    touched(page, "fact-scale", "save-number")
    typed(page, "3000", "mm")
    assert "3000" in text(page) and has(page, "save-number")  # asked back, the pad stays
    for _ in range(4):
        press(page, "key-Delete")
    typed(page, "628", "mm")
    scroll_to(page, "fact-strings")
    touched(page, "fact-strings", "more-pitch")
    press(page, "point-6")
    shows(page, "type-gauge")
    settled(page)
    press(page, "type-gauge")
    typed(page, "52", "thou")
    page = killed(offline, app_server)
    shows(page, "more-pitch")
    settled(page)
    press(page, "point-all")
    settled(page)
    scroll_to(page, "more-count")
    before = settled(page)
    press(page, "more-count")
    changed(page, before)
    back_to_intake(page)
    touched(page, "fact-name", "save-name")
    written(page, {"Owner's tag": "Marlow", "Ticket of this visit": "2041"})
    press(page, "save-name")
    shows(page, "measure")
    settled(page)
    scroll_to(page, "fact-name")
    assert "24.72 in" in row(page, "scale")
    assert "B1 E2" in row(page, "strings") and ".069 .052" in row(page, "gauges")
    assert "Marlow" in row(page, "name") and "2041" in row(page, "name")
    press(page, "measure")
    shows(page, "asked")
    settled(page)
    assert "7" in asked_string(page)


def test_an_intake_left_as_it_was_leaves_no_job_and_one_never_begun_is_put_away(
    offline: Visit, app_server: Server
) -> None:
    """Back from an untouched intake home is empty; one with a word on it stays, is put away with
    one touch and brought back with another, and stays away once the page was killed."""
    page = offline.page
    taken_in(page)
    press(page, "back")
    shows(page, "sample")
    assert not re.search("Electric guitar", text(page))
    taken_in(page)
    press(page, "said-check")
    settled(page)
    press(page, "back")
    shows(page, "new-job")
    settled(page)
    (job,) = jobs(page)
    press(page, f"away-{job}")
    shows(page, "bring-back")
    assert jobs(page) == []
    before = settled(page)
    press(page, "bring-back")
    changed(page, before)
    assert jobs(page) == [job]
    press(page, f"away-{job}")
    shows(page, "bring-back")
    page = killed(offline, app_server)
    shows(page, "new-job")
    settled(page)
    assert jobs(page) == []


def asked_string(page: Page) -> str:
    """What the walk's live region asks for."""
    live = page.locator(marked("asked"))
    return (live.get_attribute("aria-label") or live.inner_text()).split(",")[0]


def jobs(page: Page) -> list[str]:
    """The jobs that stand at home, by their ids."""
    marks = page.locator('[flt-semantics-identifier^="job-"]')
    found = (marks.nth(n).get_attribute("flt-semantics-identifier") for n in range(marks.count()))
    return [str(mark).removeprefix("job-") for mark in found]


def test_keys_take_an_instrument_to_its_first_call(offline: Visit) -> None:
    """By keys alone: the way on is lit first, taken, and the first leaf is asked for; its answers
    settle the string, and its call stands above what is asked before anything is filed."""
    page = offline.page
    taken_in(page)
    page.keyboard.press(RIGHT)
    page.keyboard.press(LEFT)
    shows(page, "asked")
    settled(page)
    for _ in range(6):
        if has(page, "all-true"):
            break
        before = state(page)
        page.keyboard.press("2")  # light contact
        changed(page, before)
    shows(page, "all-true")
    assert "String 6 · Leave" in text(page)
