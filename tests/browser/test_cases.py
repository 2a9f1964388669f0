"""Eight faults that repairers tell of, each told to the app by taps, as they are told to a bench.

The calls that would be right are those of `tests/cases`; what the account turns on has to be asked
or shown on the way.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from shared.bootstrap import ROOT
from tests.browser.hand import has, press, scroll_to, settled, shows, state, unfold, whole_text
from tests.browser.harness import serving, visiting

pytestmark = pytest.mark.long

CASES = ROOT / "tests" / "cases"


@dataclass(frozen=True)
class Answer:
    """One answer on a card: a choice, or a length to type; for one string, or for all."""

    says: str
    string: int | None = None
    typed: bool = False


@dataclass(frozen=True)
class Number:
    """A number from the pad, in thou or cents; then how the open string rings, if that is asked."""

    string: int
    digits: str
    way: str = "clearance"
    ring: str = "clean"


@dataclass(frozen=True)
class Told:
    """A case as it is told: what is tapped, what has to be asked for it, what the plan has to say.

    Cards that the account says nothing of find nothing wrong: skipped, they would bar every cut.
    """

    case: str
    kind: str
    noticed: str
    turns_on: str
    """The card, or the fact on the intake, that the account turns on."""
    says: str
    differs: tuple[tuple[str, str], ...] = ()
    time: str = ""
    cards: dict[str, Answer] = field(default_factory=dict)
    numbers: tuple[Number, ...] = ()

    @property
    def right(self) -> dict[int, set[str]]:
        """The calls that would be right, by string."""
        (path,) = CASES.glob(f"{self.case}_*.json")
        calls = json.loads(path.read_text(encoding="utf-8"))["case"]["calls"]
        return {int(s): {said} if isinstance(said, str) else set(said) for s, said in calls.items()}


NOTHING_WRONG = {
    "relief": "ok",
    "frets": "ok",
    "use": "normal",
    "shim": "no",
    "saddle_next": "no",
    "board_straight": "yes",
    "hardware": "tight",
    "slot_wall": "ok",
    "slot_shape": "U",
    "bears_at_front": "yes",
    "seated": "yes",
    "side_play": "no",
}
"""What a repairer answers who looked and found nothing."""
HIGH = "28"
"""Thou over fret 1: far above any guitar's window."""

TOLD = (
    Told(
        "c05",
        "bass guitar",
        "buzz open",
        turns_on="board",
        says="Fretless",
        differs=(("board", "bare board"),),
        cards={"paper_test": Answer("goes", 4)},
        numbers=(Number(4, "2", ring="soft"),),
    ),
    Told(
        "c17",
        "electric guitar",
        "pings",
        turns_on="ping",
        says="depth and width stay",
        cards={"ping": Answer("yes", 2)},
    ),
    Told(
        "c19",
        "steel-string guitar",
        "after travel or weather",
        turns_on="relief",
        says="Too much relief",
        cards={"relief": Answer("22", typed=True)},
        numbers=(Number(6, HIGH),),
    ),
    Told(
        "c25",
        "electric guitar",
        "nut damaged",
        turns_on="slot_wall",
        says="Put a capo on",
        time="tonight",
        cards={"slot_wall": Answer("broken", 1), "glued": Answer("yes")},
    ),
    Told(
        "c29",
        "electric guitar",
        "stiff in first position",
        turns_on="relief",
        says="one-way",
        cards={"relief": Answer("ok"), "frets": Answer("ok"), "saddle_next": Answer("no")},
        numbers=(Number(6, HIGH), Number(1, HIGH)),
    ),
    Told(
        "c34",
        "steel-string guitar",
        "stiff in first position",
        turns_on="shim",
        says="Take the shim out first",
        cards={"relief": Answer("ok"), "shim": Answer("yes")},
        numbers=(Number(6, "18", "held 4"),),
    ),
    Told(
        "c42",
        "steel-string guitar",
        "sharp low chords",
        turns_on="relief",
        says="not depth",
        cards={"relief": Answer("ok")},
        numbers=(Number(6, "14"), Number(6, "12", "cents 1"), Number(6, "0", "cents 12")),
    ),
    Told(
        "m1",
        "electric guitar",
        "buzz open",
        turns_on="nut_type",
        says="A zero fret sets the height",
        differs=(("nut_type", "zero fret"),),
        numbers=(Number(6, "5", ring="soft"),),
    ),
)


@pytest.fixture(scope="module")
def page(browser: Browser, app_site: Path) -> Iterator[Page]:
    """One visit for all of these cases."""
    with serving(app_site) as server, visiting(browser) as visit:
        page = visit.open(server.address).page
        page.set_default_timeout(10_000)
        yield page


@pytest.mark.parametrize("told", TOLD, ids=lambda told: told.case)
def test_what_is_told_by_taps_ends_in_the_right_call(told: Told, page: Page) -> None:
    """What the case turns on is asked, before the leaves or where the plan's calls wait for it, and
    its strings get a call that a repairer would give."""
    _go_home(page)
    _take_in(page, told)
    asked = {*_answer_cards(page, told), *dict(told.differs)}
    for number in told.numbers:
        _type(page, number)
    _see_plan(page)
    if told.turns_on not in asked:
        asked |= _answer_on_the_plan(page, told)
    assert told.turns_on in asked
    _check(page, told)
    press(page, "back")


def _go_home(page: Page) -> None:
    """Home, from wherever a case that failed has left the page that they share."""
    for _ in range(8):
        if has(page, "new-job"):
            return
        page.keyboard.press("Escape")
        settled(page)
    shows(page, "new-job")


def _take_in(page: Page, told: Told) -> None:
    """From home past the preconditions."""
    press(page, "new-job")
    shows(page, "kind-electric guitar")
    scroll_to(page, f"kind-{told.kind}")
    _tap(page, f"kind-{told.kind}")
    shows(page, "go-on")
    if told.time:
        _tap(page, f"time-{told.time}")
    _tap(page, f"said-{told.noticed}")
    if told.differs:
        _tap(page, "differs")
        for fact, value in told.differs:
            _tap(page, f"{fact}-{value}")
    _tap(page, "go-on")
    shows(page, "all-true")
    _tap(page, "all-true")


ON_A_CARD = ("skip", "leave-finding")
"""What a card of the questions shows: it asks, or says what its answer found."""


def _answer_cards(page: Page, told: Told) -> list[str]:
    """Answer what the account tells, skip what it does not; the questions that were asked."""
    asked: list[str] = []
    while (shown := shows(page, "skip", "leave-finding", "asked", "measure")) in ON_A_CARD:
        if shown == "leave-finding":
            _tap(page, shown)
            continue
        gate = _gate(page)
        asked.append(gate)
        if gate in told.cards and gate not in asked[:-1]:
            _answer(page, gate, told.cards[gate])
        elif gate in NOTHING_WRONG and gate != told.turns_on:
            _tap(page, f"{gate}-{NOTHING_WRONG[gate]}")
        else:
            _tap(page, "skip")
    return asked


def _answer_on_the_plan(page: Page, told: Told) -> set[str]:
    """Answer the questions that are left, if what the account turns on was not asked before."""
    _tap(page, "ask")
    asked = set(_answer_cards(page, told))
    _see_plan(page)
    return asked


def _gate(page: Page) -> str:
    """Which question the card asks, by the marks of its answers."""
    marks = page.locator("[flt-semantics-identifier]").evaluate_all(
        "all => all.map((one) => one.getAttribute('flt-semantics-identifier'))"
    )
    others = ("back", "undo", "skip", "skip-rest", "type-number", "ready", "")
    answers = [mark for mark in marks if mark not in others and not mark.startswith("point-")]
    return str(answers[0]).split("-")[0]


def _answer(page: Page, gate: str, answer: Answer) -> None:
    if answer.string is not None:
        _tap(page, f"point-{answer.string}")
    if answer.typed:
        _tap(page, "type-number")
        _press_keys(page, answer.says)
    else:
        _tap(page, f"{gate}-{answer.says}")


def _type(page: Page, number: Number) -> None:
    """Walk to the string, type the number there, and say how it rings if that is asked."""
    shows(page, "asked", "measure")
    if has(page, "measure"):
        _tap(page, "measure")
        shows(page, "asked")
    _tap(page, f"string-{number.string}")
    _tap(page, "number")
    way, _, fret = number.way.partition(" ")
    if way == "cents":
        _tap(page, "way-cents 1")
        if fret != "1":
            _tap(page, f"fret-{fret}")
    elif way == "held":
        _tap(page, f"way-{number.way}")
    _press_keys(page, number.digits)
    if way == "cents" and has(page, "save-number"):
        _tap(page, "back")
    _ring(page, number)


def _press_keys(page: Page, digits: str) -> None:
    for digit in digits:
        _tap(page, f"key-{digit}")
    _tap(page, "save-number")


def _ring(page: Page, number: Number) -> None:
    shows(page, "asked", "measure")
    heard = ("answer-buzz",) if number.ring != "clean" else ()
    for mark in (f"answer-{number.ring}", *heard):
        if has(page, mark):
            _tap(page, mark)
            return


def _see_plan(page: Page) -> None:
    if shows(page, "asked", "measure") == "asked":
        _tap(page, "plan")
    shows(page, "measure")


def _check(page: Page, told: Told) -> None:
    """The lines that the plan shows for the strings that were read or spoken of."""
    spoken = {number.string for number in told.numbers}
    spoken |= {answer.string for answer in told.cards.values() if answer.string is not None}
    unfold(page)
    said = whole_text(page)
    lines = {line.lower() for line in said.splitlines()}
    for string in spoken & set(told.right):
        (line,) = (line for line in lines if re.match(rf"string {string} .*\. .*\.$", line))
        assert any(f". {call}" in line for call in told.right[string]), line
    assert told.says in said


def _tap(page: Page, mark: str) -> None:
    """Tap what carries this mark, once it is there, and wait for what follows, if anything does."""
    before = state(page)
    for _ in range(6):
        if has(page, mark):
            break
        page.mouse.move(195, 400)
        page.mouse.wheel(0, 400)
        page.wait_for_timeout(200)
    press(page, mark)
    for _ in range(20):
        if state(page) != before:
            break
        page.wait_for_timeout(50)
    settled(page)
