"""A long day leaves nothing behind: what is held after many screens is what was held before."""

from __future__ import annotations

import pytest

from tests.browser.harness import PHONE, Server, Visit
from tests.browser.memory import Held, Inside
from tests.browser.tireless import Tireless

pytestmark = [pytest.mark.long, pytest.mark.returning]

SIDEWAYS = {"width": PHONE["height"], "height": PHONE["width"]}
WARM_UP = 2
"""Rounds after which every screen was drawn and every module is there."""
ROUNDS = 6
GROWTH = 1.06
"""What the heaps may grow by while a browser's own caches fill (measured: 1.02)."""
LEFT_BEHIND = 500
"""Python's objects that may be there more, of some ten thousand that come and go: the entries
recorded meanwhile are kept at hand, six objects each; one screen that was not let go of is as many
again."""


def test_sixty_screens_back_and_forth_leave_nothing_behind(
    visit: Visit, app_server: Server
) -> None:
    """Walk, plan, what-if, sheet, rooms, a turn of the phone and a while in the background, again
    and again: neither Python's objects nor the page's or the worker's heap nor its nodes grow."""
    page = visit.open(app_server.address).page
    hand = Tireless(page)
    hand.tap("sample", "back")
    inside = Inside(page)
    for _ in range(WARM_UP):
        a_round(hand, inside)
    before = inside.held()
    screens = len(hand.times_ms)
    for _ in range(ROUNDS):
        a_round(hand, inside)
    assert len(hand.times_ms) - screens >= 60
    after = inside.held()
    assert after.objects <= before.objects + LEFT_BEHIND, figures(before, after)
    assert after.bytes <= before.bytes * GROWTH, figures(before, after)
    assert after.nodes <= before.nodes * GROWTH, figures(before, after)
    assert after.listeners <= before.listeners * GROWTH, figures(before, after)


def a_round(hand: Tireless, inside: Inside) -> None:
    """Through the rooms and back home, once with the phone turned, once in the background."""
    job = next(mark for mark in hand.sees() if mark.startswith("job-"))
    hand.tap(job)
    if "plan" in hand.sees():
        hand.tap("plan")
    hand.turn(SIDEWAYS)
    hand.tap("what-if", "back", "hand-over", "back", "back")
    hand.turn(PHONE)
    inside.lifecycle("frozen")
    inside.lifecycle("active")
    for room in ("instruments", "records", "settings"):
        hand.tap(room, "back")


def figures(before: Held, after: Held) -> str:
    """Both, for whoever looks for what was left behind."""
    return f"before {before}, after {after}"
