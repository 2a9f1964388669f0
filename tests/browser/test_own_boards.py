"""Instruments whose frets are no guitar's, from intake to plan in the built app, on a phone with no
network: a dulcimer with a 1½ fret, a lute with tied frets in pairs, a double bass under the bow."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.hand import has, press, scroll_to, settled, shows, unfold, whole_text
from tests.browser.harness import text
from tests.browser.test_entered import row
from tests.browser.test_nine_instruments import Bench, bench, said_by

__all__ = ["bench"]
pytestmark = [pytest.mark.long, pytest.mark.returning]


def keyed(page: Page, figure: str) -> None:
    """A figure on a pad without units, handed in."""
    shows(page, "save-number")
    for key in figure:
        press(page, f"key-{'Point' if key == '.' else key}")
    settled(page)
    press(page, "save-number")
    settled(page)


def test_a_dulcimer_a_lute_and_a_bowed_bass_from_intake_to_plan(bench: Bench) -> None:
    """Each is entered with touches alone; the board says its frets to a screen reader, what cannot
    be is answered on the pad, the page dies on the way, and the plan stands over this board's own
    first fret."""
    page = bench.page
    bench.takes_in("other")
    bench.does("fact-board", "spacing-diatonic", "half-1½")
    assert "First fret" in text(page) and "None at 1 semitone" in text(page)
    bench.does("type-frets")
    keyed(page, "60")
    assert "from 1 to 48" in text(page) and has(page, "save-number")
    for _ in "60":
        press(page, "key-Delete")
    keyed(page, "9")
    shows(page, "spacing-diatonic")
    scroll_to(page, "fret-at-9")
    assert "Fret 5: 9 semitones" in said_by(page, "fret-at-9")
    bench.does("back")
    assert "diatonic with 1½, 9 frets" in row(page, "board")
    bench.dies()
    page = bench.page
    bench.does("fact-strings", "less-count", "less-count")
    bench.does("back", "measure")
    bench.reads()
    unfold(page)
    said = whole_text(page)
    assert "Traceback" not in said and bench.stands(4) is not None
    bench.does("back")
    for _ in range(4):
        if has(page, "new-job"):
            break
        bench.does("back")

    bench.takes_in("other")
    bench.does("fact-board", "frets-tied", "type-frets")
    keyed(page, "8")
    bench.does("back")
    assert "every semitone, 8 frets, tied" in row(page, "board")
    bench.does("fact-strings", "pairing-unison pair")
    assert has(page, "point-12")
    bench.does("back", "measure")
    bench.reads()
    assert bench.stands(12) is not None
    for _ in range(4):
        if has(page, "new-job"):
            break
        bench.does("back")

    bench.takes_in("double bass")
    assert "none" in row(page, "board")
    bench.does("measure" if has(page, "measure") else "go-on")
    bench.reads()
    assert bench.stands(4) is not None
