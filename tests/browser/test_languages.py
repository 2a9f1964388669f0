"""The built app in two languages: a string walked in German, chosen and left in the settings."""

from __future__ import annotations

import pytest

from logic.languages import load_language
from shared.words import say, speaking
from tests.browser.hand import changed, press, settled, shows
from tests.browser.harness import Server, Visit, text


@pytest.mark.returning
def test_german_is_chosen_walked_and_left_again(visit: Visit, app_server: Server) -> None:
    """In place, without a reload: the page's language and every word follow, and come back."""
    page = visit.open(app_server.address).page
    shows(page, "sample")
    press(page, "settings")
    shows(page, "language-de")
    before = settled(page)
    press(page, "language-de")
    changed(page, before)
    page.wait_for_function("document.documentElement.lang === 'de'")
    with speaking(load_language("de")):
        language, none, back = say("Language"), say("No contact"), say("Start a job")
    assert language in text(page)
    press(page, "back")
    shows(page, "sample")
    settled(page)
    assert back in text(page)

    press(page, "sample")
    shows(page, "asked")
    before = settled(page)
    assert none in text(page) and "No contact" not in text(page)
    press(page, "answer-none")
    changed(page, before)
    press(page, "back")
    shows(page, "settings")
    press(page, "settings")
    shows(page, "language-en")
    before = settled(page)
    press(page, "language-en")
    changed(page, before)
    page.wait_for_function("document.documentElement.lang === 'en'")
    assert "Language" in text(page) and language not in text(page)
