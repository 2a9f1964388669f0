"""The card of a string in the built app: struck out, put right, brought back, offline and after a
reload; by thumb and by keys."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.hand import begin, changed, has, press, settled, shows
from tests.browser.harness import Server, Visit, kept, ready, wait_for_text

pytestmark = pytest.mark.returning


def touched(page: Page, mark: str) -> list[str]:
    """What the screen says once the touch on `mark` was answered."""
    before = settled(page)
    press(page, mark)
    return changed(page, before)


def says(page: Page, *words: str) -> None:
    """Wait until the screen says each of these."""
    for each in words:
        wait_for_text(page, each)


def test_a_wrong_touch_is_struck_out_put_right_and_brought_back_offline(
    visit: Visit, app_server: Server
) -> None:
    """No server and no network: two touches on one string, the first struck out, the page loaded
    anew, brought back, then put right; the card shows both with time and device, the plan follows,
    and one undo on the walk says what it takes back."""
    page = visit.open(app_server.address).page
    shows(page, "new-job")
    begin(page)
    kept(page)
    app_server.kill()
    visit.context.set_offline(True)

    touched(page, "answer-none")
    touched(page, "answer-heavy")
    press(page, "string-6")  # where the walk has gone on from it
    settled(page)
    touched(page, "notes")
    shows(page, "strike-0", "strike-1")
    says(page, "No contact under", "Heavy contact under", "this device")
    touched(page, "strike-1")
    shows(page, "back-1")
    says(page, "Struck out: no contact under", "struck out")

    visit.page.reload()
    ready(page)
    shows(page, "back-1")
    touched(page, "back-1")
    says(page, "Stands again: no contact under")
    touched(page, "correct-1")
    shows(page, "was-light")
    touched(page, "was-light")
    says(page, "Put right: no contact under", "Light contact under")
    assert has(page, "back-2") or has(page, "back-1")

    page.keyboard.press("Escape")
    shows(page, "asked", "afresh")
    settled(page)
    page.keyboard.press("Backspace")
    says(page, "Taken back: light contact under", "Stands again: no contact under")
    assert visit.outside(app_server.address) == []


def test_a_settled_string_asks_nothing_and_the_card_opens_by_key(
    visit: Visit, app_server: Server
) -> None:
    """A string that is settled offers *read afresh* and *next*: a key of the answers records
    nothing and says so; C opens the card, Escape leads back, a pedal goes on."""
    page = visit.open(app_server.address).page
    shows(page, "new-job")
    begin(page)
    touched(page, "answer-light")
    touched(page, "string-6")
    shows(page, "afresh")
    before = settled(page)
    page.keyboard.press("1")
    says(page, "nothing was recorded")
    page.keyboard.press("c")
    shows(page, "strike-0")
    page.keyboard.press("Escape")
    shows(page, "afresh")
    assert settled(page) == before
    touched(page, "afresh")
    shows(page, "answer-light")
    touched(page, "string-6")
    shows(page, "next")
    page.keyboard.press("PageUp")
    shows(page, "answer-light")
    says(page, "String 5")
