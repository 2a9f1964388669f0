"""Calls, readings and strings in a technician's words, in each unit and in German."""

from __future__ import annotations

from typing import Any

import pytest

from logic.app.wording.calls import (
    begun,
    call_in_short,
    call_in_words,
    calls_in_past,
    calls_in_words,
    reading_in_words,
    saved_in_words,
)
from logic.app.wording.wording import Wording
from logic.bench.instrument.naming import strings_listed
from logic.bench.plan.plan import make_plan
from logic.languages import load_language
from logic.testing import TRADE, instrument, job_with, mm, number, sharp_by, thou, touch
from shared.job import CallKind, Interval, StringCall
from shared.readings import Buzz, BuzzReading, Contact, HeldGapReading, Reading
from shared.units import Unit
from shared.words import FigureStyle, use

GUITAR = instrument("electric guitar")
CHECKED = {"at_pitch": "yes", "relief": "ok", "frets": "ok", "seated": "yes"}


def call_at(clearance_mm: float, buzz: Buzz = Buzz.NONE) -> StringCall:
    """The call for string 6 of an electric guitar that was measured there and played open."""
    readings = (number(mm(clearance_mm), 6), BuzzReading(string=6, buzz=buzz))
    plan = make_plan(job_with("electric guitar", readings, checks=CHECKED), TRADE)
    return next(call for call in plan.strings if call.string == 6)


@pytest.mark.parametrize(
    ("text", "said"),
    [("leave", "Leave"), ("", ""), ("E string", "E string"), ("über", "Über"), ("6 to", "6 to")],
)
def test_a_line_begins_with_a_capital_and_is_otherwise_left_alone(text: str, said: str) -> None:
    """Names and figures inside are not touched."""
    assert begun(text) == said


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (("5",), "string 5"),
        (("5", "4"), "strings 5 and 4"),
        (("5", "4", "1"), "strings 5, 4 and 1"),
        (("6 octave",), "string 6 octave"),
    ],
)
def test_strings_are_listed_as_in_a_sentence(names: tuple[str, ...], said: str) -> None:
    """One, two and several."""
    assert strings_listed(names) == said


@pytest.mark.parametrize(
    ("reading", "thousandths", "millimetres"),
    [
        (touch(thou(20), Contact.NONE), "20 no contact", "0.51 no contact"),
        (touch(thou(20), Contact.LIGHT), "20 light contact", "0.51 light contact"),
        (
            touch((thou(10), thou(12)), Contact.HEAVY),
            "10 + 12 heavy contact",
            "0.25 + 0.30 heavy contact",
        ),
        (number(thou(24)), "24 thou", "0.61 mm"),
        (sharp_by(4.0, 1), "+4", "+4"),
        (sharp_by(-2.5, 3), "-2.5", "-2.5"),
        (BuzzReading(string=1, buzz=Buzz.NONE), "clean", "clean"),
        (HeldGapReading(string=1, held_at=2, gap=thou(6)), "6", "0.15"),
    ],
)
def test_an_answer_is_short_enough_for_the_trail(
    reading: Reading, thousandths: str, millimetres: str
) -> None:
    """Each kind of reading, in two units: the figure as it was read, a leaf as it is marked."""
    assert thousandths in reading_in_words(reading, GUITAR, Wording())
    assert millimetres in reading_in_words(reading, GUITAR, Wording(Unit.MM))
    assert len(reading_in_words(reading, GUITAR, Wording())) <= 30


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        (sharp_by(4.0, 1, string=5), "fret 6: +4 cents"),
        (HeldGapReading(string=5, held_at=3, gap=thou(6)), "held at 8: 6 thou"),
    ],
)
def test_frets_of_a_string_with_its_own_nut_are_said_as_they_lie_on_the_board(
    reading: Reading, said: str
) -> None:
    """Nobody at a banjo's fifth string touches fret 1."""
    assert reading_in_words(reading, instrument("5-string banjo"), Wording()) == said


def test_what_was_saved_names_the_string_and_the_answer() -> None:
    """So that a slip is seen at once."""
    reading = reading_in_words(touch(thou(20), Contact.LIGHT), GUITAR, Wording())
    assert saved_in_words("6", reading) == "Saved: string 6, 20 light contact."


@pytest.mark.parametrize(
    ("clearance_mm", "buzz", "kind", "words", "short"),
    [
        (0.508, Buzz.NONE, CallKind.LEAVE, "Leave: on target", "Leave"),
        (0.9, Buzz.NONE, CallKind.LOWER, "Lower the slot by 15 thou", "Lower"),
        (0.15, Buzz.NORMAL, CallKind.RAISE, "Raise by 15 thou", "Raise by 15 thou"),
    ],
)
def test_a_call_is_said_with_its_amount(
    clearance_mm: float, buzz: Buzz, kind: CallKind, words: str, short: str
) -> None:
    """In a line, and as the largest type of the screen has room for."""
    call = call_at(clearance_mm, buzz)
    assert call.call is kind
    assert call_in_words(call, Wording()) == words
    assert call_in_short(call, Wording()) == short


@pytest.mark.parametrize(
    ("unit", "amount"), [(Unit.THOU, "15 thou"), (Unit.INCH, "0.015 in"), (Unit.MM, "0.38 mm")]
)
def test_the_amount_is_in_the_unit_that_is_asked_for(unit: Unit, amount: str) -> None:
    """One cut, said three ways."""
    assert call_in_words(call_at(0.9), Wording(unit)) == f"Lower the slot by {amount}"


def test_a_call_that_waits_says_for_what() -> None:
    """Nothing read yet: to read; a check that failed: which, without saying "first" twice."""
    unread = make_plan(job_with("electric guitar", checks=CHECKED), TRADE).strings[0]
    assert call_in_words(unread, Wording()) == "Not read yet"
    readings = [number(mm(0.9), 6)]
    checks = CHECKED | {"relief": "high"}
    barred = make_plan(job_with("electric guitar", readings, checks=checks), TRADE)
    call = next(each for each in barred.strings if each.string == 6)
    words = call_in_words(call, Wording())
    assert words.startswith("Check first: ") and words.lower().count("first") == 1


@pytest.mark.parametrize(
    ("clearances_mm", "said"),
    [
        ({}, "6 to read"),
        ({6: 0.9}, "1 to lower, 5 to read"),
        ({6: 0.9, 5: 0.9, 4: 0.457}, "2 to lower, 1 to leave, 3 to read"),
    ],
)
def test_calls_are_counted_by_their_kind(clearances_mm: dict[int, float], said: str) -> None:
    """What is to be done first stands first; what nobody has is not said."""
    readings = [number(mm(value), string) for string, value in clearances_mm.items()]
    plan = make_plan(job_with("electric guitar", readings, checks=CHECKED), TRADE)
    assert calls_in_words(plan.strings) == said


def test_no_call_is_said_as_nothing() -> None:
    """A plan without strings has no summary."""
    assert calls_in_words(()) == ""


def test_in_german_calls_and_answers_are_german() -> None:
    """With the comma and the word order of the language."""
    use(load_language("de"), FigureStyle("mm", decimal_mark=","))
    wording = Wording(Unit.MM, ",")
    assert call_in_words(call_at(0.15, Buzz.NORMAL), wording) == "Um 0,37 mm höher"
    assert (
        reading_in_words(touch(thou(20), Contact.LIGHT), GUITAR, wording) == "0,51 leichter Kontakt"
    )
    assert strings_listed(("5", "4")) == "Saiten 5 und 4"


# --- figures ---


@pytest.mark.parametrize(
    ("wording", "expected"),
    [
        (Wording(), ("20 thou", "20", ".020", "20 thou (18 to 22)")),
        (Wording(Unit.INCH), ("0.020 in", "0.020", ".020", "0.020 in (0.018 to 0.022)")),
        (Wording(Unit.MM), ("0.51 mm", "0.51", ".020", "0.51 mm (0.46 to 0.56)")),
        (Wording(Unit.MM, ","), ("0,51 mm", "0,51", ".020", "0,51 mm (0,46 to 0,56)")),
        (Wording(Unit.INCH, ","), ("0,020 in", "0,020", ".020", "0,020 in (0,018 to 0,022)")),
    ],
)
def test_a_length_is_written_as_the_bench_writes_it(
    wording: Wording, expected: tuple[str, ...]
) -> None:
    """With its unit, bare, as a gauge, and with both ends of its interval."""
    length, ends = thou(20), Interval(estimate=0.508, low=0.4572, high=0.5588)
    found = (
        *(wording.length(length), wording.bare(length), wording.gauge(length)),
        wording.interval(ends),
    )
    assert found == expected


@pytest.mark.parametrize(
    ("cents", "said"), [(4.0, "+4"), (-2.5, "-2.5"), (0.0, "+0"), (12.25, "+12.25")]
)
def test_cents_carry_their_sign(cents: float, said: str) -> None:
    """Sharp and flat are told apart at a glance, as on a tuner."""
    assert Wording().signed(cents) == said


@pytest.mark.parametrize("leaves", [(20,), (10, 12), (8, 30)])
def test_a_stack_is_the_sum_that_is_written(leaves: tuple[Any, ...]) -> None:
    """Two leaves stand with a plus between them, so that their sum is what was slid in."""
    stack = Wording().stack(tuple(map(thou, leaves)))
    assert sum(float(each) for each in stack.split(" + ")) == sum(leaves)


@pytest.mark.parametrize(
    ("lowered", "raised", "said"),
    [
        ((), (), "1 left, 1 not lowered, 1 not read"),
        ((6,), (), "1 lowered, 1 left, 1 not read"),
        ((6,), (6, 5), "1 lowered, 1 raised, 1 not read"),
        ((6, 5, 4), (), "3 lowered"),
    ],
)
def test_a_closed_job_is_told_in_the_past(
    lowered: tuple[int, ...], raised: tuple[int, ...], said: str
) -> None:
    """Each string is told once: by what was done to it, else by the call that nobody followed."""
    high, left = call_at(0.8), call_at(0.508)
    calls = (
        high,
        left.model_copy(update={"string": 5}),
        left.model_copy(update={"string": 4, "call": CallKind.READ_AGAIN}),
    )
    assert calls_in_past(calls, lowered, raised) == said
