"""What was said of a string beside how it was read: both are named, and nothing is cut."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, job
from shared.job import IRREVERSIBLE, CallKind, StringCall
from tests.logic.bench.plan.test_cut_begins import RULED_OUT
from tests.logic.bench.plan.test_plan_laws import STRINGS, entries, plan_of

HIGH, LOW = "0.95 mm", "0.12 mm"


def calls_for(complaints: list[dict[str, Any]], heights: dict[int, str]) -> dict[int, StringCall]:
    """The calls for an electric guitar on which all else was ruled out; what is low buzzes."""
    readings = [
        {"string": string, "clearance": mm, "buzz": "normal" if mm == LOW else "none"}
        for string, mm in heights.items()
    ]
    checks = RULED_OUT | {"measured_over": "fret", "buzz_where": "open only"}
    made = job(checks=checks, complaints=complaints, readings=readings)
    return {call.string: call for call in make_plan(made, TRADE).strings}


def test_said_to_be_low_and_read_high_names_both() -> None:
    """What was said, where it was read and its target stand in the reason, and nothing is cut."""
    call = calls_for([{"is": "too low", "strings": [6]}], {6: HIGH})[6]
    assert call.call is CallKind.CHECK_FIRST
    assert "A string lies too low" in call.why
    assert "target" in call.why
    assert call.slot_cut_mm is None


def test_a_buzz_of_no_string_in_particular_is_of_the_one_that_stands_low() -> None:
    """Where a string was read that it can be of, the others are what they were read to be."""
    said = [{"is": "an open string buzzes"}]
    alone, beside_a_low_one = calls_for(said, {6: HIGH}), calls_for(said, {6: HIGH, 3: LOW})
    assert alone[6].call is CallKind.CHECK_FIRST
    assert beside_a_low_one[6].call is CallKind.LOWER


def test_a_string_said_to_be_low_and_high_is_neither_cut_nor_raised() -> None:
    """Whichever way it reads, one of two complaints is of another string."""
    said = [{"is": "too low", "strings": [3]}, {"is": "high action", "strings": [3]}]
    for height in (HIGH, LOW):
        call = calls_for(said, {3: height})[3]
        assert call.call is CallKind.CHECK_FIRST
        assert "The strings stand high" in call.why


@given(entries, st.sampled_from(("too low", "buzz open")), st.booleans())
@settings(deadline=None, max_examples=40)
def test_what_is_said_to_be_low_is_never_cut(
    readings: list[dict[str, Any]], said: str, to_my_target: bool
) -> None:
    """However its string was read, and whatever the technician wishes for."""
    complaints = [{"is": said, "strings": list(STRINGS)}]
    plan = plan_of(readings, complaints=complaints, to_my_target=to_my_target)
    assert not {call.call for call in plan.strings} & set(IRREVERSIBLE)


def rung(said: str, buzz: str, **more: Any) -> StringCall:
    """The call of string 3, of which this was said and which was heard so, on its target."""
    readings = [{"string": 3, "clearance": "0.45 mm", "buzz": buzz}]
    made = job(complaint=said, checks=RULED_OUT | more.pop("checks", {}), readings=readings, **more)
    return next(each for each in make_plan(made, TRADE).strings if each.string == 3)


def test_said_to_buzz_and_rung_clean_names_both() -> None:
    """The complaint and what was heard stand in the reason; nobody is sure of anything."""
    for said, title in (("it buzzes on the G", "It buzzes"), ("the open G buzzes", "An open")):
        call = rung(said, "none")
        assert call.call is CallKind.CHECK_FIRST
        assert call.reason == "said to buzz, rang clean"
        assert title in call.why and "rang clean when it was played open" in call.why
        assert call.slot_cut_mm is None and call.held_back is not None


def test_what_explains_a_clean_open_string_is_no_contradiction() -> None:
    """The buzz is of another string or of none in particular, of fretted notes, was heard, or was
    there before a file was in the slot."""
    assert rung("it buzzes on the D", "none").call is CallKind.LEAVE
    assert rung("it buzzes", "none").call is CallKind.LEAVE
    fretted = rung("it buzzes on the G", "none", checks={"buzz_where": {"3": "fretted"}})
    assert fretted.reason != "said to buzz, rang clean"
    assert rung("it buzzes on the G", "soft").reason != "said to buzz, rang clean"
    filed = rung("it buzzes on the G", "none", passes=[{"string": 3, "strokes": 3, "after": 0}])
    assert filed.reason != "said to buzz, rang clean"
