"""The whole browser killed in the middle of a walk: what was acknowledged is all there."""

from __future__ import annotations

import os
import signal
import subprocess
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.hand import BrowserHand, begin, changed, press, settled, shows
from tests.browser.harness import PHONE, Server, ready
from tests.browser.worker_bench import killable

HEIGHTS_MM = {6: 0.9, 5: 0.7, 4: 0.5, 3: 0.45, 2: 0.8, 1: 0.3}
KILLS = 3


@pytest.mark.long
def test_killed_in_the_middle_of_a_walk_nothing_acknowledged_is_lost(
    browser: Browser, app_server: Server, tmp_path: Path
) -> None:
    """SIGKILL with one answer acknowledged and the next under way, again and again.

    After each start the screen is the one that acknowledged the last answer, or that with exactly
    the one answer more that was under way; nothing else, and undo leads back from it.
    """
    hand = BrowserHand(HEIGHTS_MM)
    acknowledged: list[str] = []
    for start in range(KILLS + 1):
        with killable(browser, tmp_path / "profile") as (page, process):
            page.set_viewport_size(PHONE)  # type: ignore[arg-type]
            page.goto(app_server.address)
            ready(page)
            if start == 0:
                shows(page, "new-job")
                begin(page)
            else:
                shows(page, "asked")
                _is_or_undoes_to(page, acknowledged)
            if start < KILLS:
                acknowledged = _answer_and_die(hand, page, process, more=1 + start % 2)


def _is_or_undoes_to(page: Page, acknowledged: list[str]) -> None:
    found = settled(page)
    if found != acknowledged:
        press(page, "undo")
        changed(page, found)
        page.reload()  # what was taken back is told no more
        ready(page)
        shows(page, "asked")
        assert settled(page) == acknowledged


def _answer_and_die(
    hand: BrowserHand, page: Page, process: subprocess.Popen[bytes], more: int
) -> list[str]:
    """The last acknowledged state when the browser died with another answer under way."""
    for _ in range(more):
        acknowledged = hand.answer(page)
    press(page, hand.mark(page))
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    return acknowledged
