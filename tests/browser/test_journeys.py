"""Whole journeys of a technician through the built app, as a phone's browser would see them."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.hand import (
    BrowserHand,
    begin,
    changed,
    has,
    press,
    settled,
    shows,
    state,
    unfold,
    whole_text,
)
from tests.browser.harness import (
    Server,
    Visit,
    kept,
    ready,
    wait_for_text,
)

HEIGHTS_MM = {6: 0.9, 5: 0.45, 4: 0.9, 3: 0.45, 2: 0.9, 1: 0.4}
"""High, near its target, high …: what the plan must tell back."""
CALLS = {6: "lower", 5: "leave", 4: "lower", 3: "leave", 2: "lower", 1: "leave"}


def test_a_first_job_from_first_visit_to_plan_and_again_with_everything_dead(
    visit: Visit, app_server: Server
) -> None:
    """First visit, six strings, plan, reload; then no server, no network, a fresh page: the same.

    Nothing leaves the page's own origin on the way.
    """
    page = visit.open(app_server.address).page
    shows(page, "new-job")
    begin(page)
    hand = BrowserHand(HEIGHTS_MM)
    while not has(page, "measure"):
        hand.answer(page)
        assert len(hand.given) <= 6 * 8
    plan = settled(page)
    _check_calls(page)

    visit.reload()
    shows(page, "measure")
    assert settled(page) == plan

    kept(page)
    app_server.kill()
    visit.context.set_offline(True)
    page.close()
    again = visit.context.new_page()
    again.goto(app_server.address)
    ready(again)
    shows(again, "measure")
    assert settled(again) == plan

    press(again, "line-6")
    changed(again, plan)
    press(again, "again")
    shows(again, "answer-light")
    before = settled(again)
    press(again, "answer-light")
    assert changed(again, before) != before
    assert visit.outside(app_server.address) == []
    assert [said for said in visit.said if "Content Security Policy" in said] == []


def _check_calls(page: Page) -> None:
    """Every string's line of the plan begins with the call that its truth asks for."""
    unfold(page)
    said = whole_text(page).lower().splitlines()
    for string, call in CALLS.items():
        lines = [line for line in said if line.startswith(f"string {string} ")]
        assert any(call in line for line in lines), (string, call, lines)


@pytest.mark.returning
def test_keys_walk_as_fingers_do(visit: Visit, app_server: Server) -> None:
    """A digit answers, N goes to the next string, Backspace takes the answer back."""
    page = visit.open(app_server.address).page
    shows(page, "new-job")
    begin(page, "bass guitar")
    fresh = settled(page)
    page.keyboard.press("1")
    answered = changed(page, fresh)
    assert any("no contact" in line for line in answered)
    page.keyboard.press("n")
    moved = changed(page, answered)
    assert moved != answered
    page.keyboard.press("Backspace")
    back = changed(page, moved)
    assert not any("no contact" in line.lower() and line[0].isdigit() for line in back)
    assert back == fresh


@pytest.mark.returning
def test_a_second_tab_is_told_and_can_take_over(visit: Visit, app_server: Server) -> None:
    """Two tabs: one writes, the other says so and offers to; after that they change places."""
    first = visit.open(app_server.address).page
    shows(first, "new-job")
    begin(first)
    BrowserHand(HEIGHTS_MM).answer(first)
    left = settled(first)
    second = visit.context.new_page()
    second.goto(app_server.address)
    ready(second)
    shows(second, "take-over")
    press(second, "take-over")
    shows(second, "asked")
    assert settled(second) == left
    shows(first, "take-over")
    assert not has(first, "asked")
    BrowserHand(HEIGHTS_MM).answer(second)
    further = settled(second)
    press(first, "take-over")
    shows(first, "asked")
    assert settled(first) == further
    shows(second, "take-over")


def test_plain_http_from_another_machine_says_what_cannot_be_kept(
    visit: Visit, app_server: Server
) -> None:
    """A page that is not trusted by the browser says so first, and again before any work.

    What the browser's database does keep is found again after a reload.
    """
    page = visit.page
    page.goto(app_server.address.replace("localhost", "shop.example"))
    page.get_by_text("Nothing can be kept here").wait_for()
    page.get_by_role("button", name="Look around").click()
    ready(page)
    shows(page, "new-job")
    wait_for_text(page, "plain http")
    press(page, "sample")
    shows(page, "asked")
    before = settled(page)
    press(page, "answer-light")
    after = changed(page, before)
    page.reload()
    page.get_by_role("button", name="Look around").click()
    ready(page)
    shows(page, "asked")
    assert settled(page) == after
    assert state(page) == after


@pytest.mark.returning
def test_own_words_lead_in_two_taps_to_the_right_first_question(
    visit: Visit, app_server: Server
) -> None:
    """*It buzzes on the G*, written as it was said, then *Go on* and *all true*: the card asks
    where it buzzes, and back at the intake the words stand with what was understood of them."""
    page = visit.open(app_server.address).page
    press(page, "new-job")
    shows(page, "kind-electric guitar")
    press(page, "kind-electric guitar")
    shows(page, "go-on")
    page.locator("input").first.click()
    page.keyboard.type("it buzzes on the G", delay=30)
    press(page, "go-on")
    shows(page, "all-true")
    press(page, "all-true")
    shows(page, "buzz_where-open only")
    press(page, "back")
    shows(page, "all-true")
    press(page, "back")
    shows(page, "go-on")
    wait_for_text(page, "Understood: It buzzes (string 3).")
