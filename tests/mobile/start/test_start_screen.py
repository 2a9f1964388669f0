"""Home as last seen: shown before the history is open and never taken for the record."""

from __future__ import annotations

import json
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands.start_commands import NewJob, SeeKit
from logic.app.views.start_views import HomeView, JobLine, TroubleView
from logic.languages import load_language
from mobile.parts.theme import Theme
from mobile.shell import Shell
from mobile.start.start_screen import OpeningWait, StartScreenNote, first_shell
from shared.words import speaking, spoken_language

HOME = HomeView((JobLine("j1", "Parlour guitar", "3 May, 10:20 · at the plan"),), notices=("Full",))
LATER_MS = 2_000


def seen(busy_until_ms: int = 0) -> str:
    """The note as the page keeps it."""
    return StartScreenNote(HOME, {"theme": "paper", "hand": "left"}, busy_until_ms).text()


def started(note: str, *, has_records: bool = True, wait: OpeningWait | None = None) -> Shell:
    """The shell as the app starts with this note."""
    return first_shell(note, has_records, Theme(), lambda _: None, wait or OpeningWait(), LATER_MS)


def test_home_is_drawn_as_it_was_last_seen() -> None:
    """Jobs, light and hand come back from what the page kept."""
    shell = started(seen(), has_records=True)
    assert shell.view == HOME
    assert shell.theme.left_handed


def test_nothing_is_shown_while_a_job_is_under_the_hands() -> None:
    """Work that goes on is waited for: home would be the wrong place to begin."""
    assert isinstance(started(seen(LATER_MS + 1), has_records=True).view, TroubleView)


def test_a_device_never_used_begins_at_an_empty_home() -> None:
    """With no mark of records there is nothing to wait for; with one the history is waited for."""
    assert started("", has_records=False).view == HomeView(())
    assert isinstance(started("", has_records=True).view, TroubleView)


@given(st.integers(0, len(seen()) - 1), st.characters(codec="ascii"))
@settings(deadline=None, max_examples=60)
def test_a_damaged_note_is_not_shown(at: int, other: str) -> None:
    """Any one character changed anywhere, and the history is waited for instead."""
    text = seen()
    changed = text[:at] + other + text[at + 1 :]
    if changed != text:
        assert StartScreenNote.read(changed) is None


@pytest.mark.parametrize("body", ["[]", "{}", "not JSON", '{"home": {"jobs": 3}}'])
def test_the_note_of_another_build_is_not_shown(body: str) -> None:
    """Whole, but made of other things: it is left alone."""
    assert StartScreenNote.read(f"{zlib.crc32(body.encode()):08x}{body}") is None


def test_a_note_is_small() -> None:
    """Sixty jobs, the longest list at home, stay far below what a page may keep (5 MB)."""
    jobs = tuple(JobLine(f"job-{n}", "An instrument" * 3, "detail" * 6) for n in range(60))
    text = StartScreenNote(HomeView(jobs)).text()
    assert len(text) < 20_000
    assert len(json.loads(text[8:])["home"]["jobs"]) == 60


def test_the_first_touch_waits_and_is_seen_to() -> None:
    """What is touched first waits for the app; the screen says at once that it was felt."""
    shell = started(seen())
    shell.act(NewJob())
    assert isinstance(shell.view, TroubleView)
    shell.act(SeeKit())
    assert shell.take_pending() == NewJob() and shell.take_pending() is None


def test_who_waits_on_a_first_visit_reads_what_for() -> None:
    """While the rest of the app is on its way that is said, and the history only once it is read;
    where nobody waits, home stays as it is."""
    wait = OpeningWait(fetching=True)
    shell = started(seen(), wait=wait)
    shell.show_waiting()
    assert shell.view == HOME
    shell.act(NewJob())
    assert isinstance(shell.view, TroubleView)
    assert "Fetching the rest" in shell.view.what
    wait.fetching = False
    shell.show_waiting()
    assert shell.view.what == "Reading the history on this device."


def test_a_device_never_used_begins_in_the_language_that_its_browser_asks_for() -> None:
    """Nothing was kept that names another one: what is spoken already stays."""
    with speaking(load_language("de")):
        shell = started("", has_records=False)
        assert isinstance(shell.view, HomeView)
        assert spoken_language() == "de"
        started(seen(), has_records=True)
        assert spoken_language() == "en"  # as home was last said
