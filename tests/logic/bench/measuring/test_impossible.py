"""Evidence of two kinds that cannot both be right is named with both; confidence is what it is."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.plan.plan import StringState, string_state
from logic.testing import TRADE, cents_by_fret, job
from shared.job import CallKind
from shared.reasons import CallReason
from tests.logic.bench.plan.test_cut_begins import RULED_OUT

CONTRADICTED = (CallKind.READ_AGAIN, CallReason.CONTRADICTED)
OVER_THE_FRET = RULED_OUT | {"measured_over": "fret"}


def state(
    *readings: dict[str, Any], string: int = 6, kind: str = "electric guitar", **parts: Any
) -> StringState:
    """One string of an instrument on which everything else was ruled out."""
    instrument = parts.pop("instrument", {"kind": kind})
    checks = OVER_THE_FRET | parts.pop("checks", {})
    made = job(instrument, readings=list(readings), checks=checks, **parts)
    return string_state(made, string, TRADE)


def verdict(found: StringState) -> tuple[CallKind, str]:
    """The call and its reason."""
    return found.call.call, found.call.reason


# --- on the crown, and clean ---


@pytest.mark.parametrize(
    "reading",
    [
        {"string": 6, "clearance": "0 mm", "buzz": "none"},
        {"string": 6, "leaf": "0.002 in", "contact": "heavy", "buzz": "none"},
    ],
    ids=["a number", "a leaf"],
)
def test_a_string_on_the_crown_does_not_ring_clean(reading: dict[str, Any]) -> None:
    """Resting on fret 1 and ringing clean: read again, and both are named."""
    found = state(reading)
    assert verdict(found) == CONTRADICTED
    assert "rings clean" in found.call.why
    assert found.call.confidence <= 0.5


def test_what_was_found_twice_is_so() -> None:
    """The same leaf read a second time, with the same answer, ends the question."""
    leaf = {"string": 6, "leaf": "0.002 in", "contact": "heavy", "buzz": "none"}
    assert verdict(state(leaf, leaf)) == (CallKind.LEAVE, CallReason.LOW_BUT_CLEAN)


def test_a_bare_board_has_no_crown() -> None:
    """Without frets a string level with the board may ring."""
    reading = {"string": 4, "clearance": "0.05 mm", "buzz": "none"}
    bass = {"kind": "bass guitar", "fretted": False}
    assert verdict(state(reading, string=4, instrument=bass)) != CONTRADICTED


def test_a_low_string_that_rings_clean_is_no_contradiction() -> None:
    """Eight thou over the crown and clean is low and stays."""
    reading = {"string": 6, "clearance": "0.20 mm", "buzz": "none"}
    assert verdict(state(reading)) == (CallKind.LEAVE, CallReason.LOW_BUT_CLEAN)


# --- high, and not sharp ---

HIGH = {"string": 6, "clearance": "1.143 mm", "buzz": "none"}


@pytest.mark.parametrize("cents", [0, -3])
def test_a_steel_string_cannot_stand_so_high_and_be_in_tune(cents: float) -> None:
    """45 thou high and not sharp at fret 1: its stiffness forbids it, and both are named."""
    found = state(HIGH, *cents_by_fret(6, {1: cents}))
    assert verdict(found) == CONTRADICTED
    assert "1.14" in found.call.why or "1.143" in found.call.why
    assert "cents" in found.call.why


@pytest.mark.parametrize(
    "parts",
    [
        {"kind": "nylon-string guitar"},
        {"instrument": {"kind": "electric guitar", "nut": {"type": "compensated"}}},
    ],
    ids=["nylon", "a nut set forward"],
)
def test_where_it_can_be_it_is_believed(parts: dict[str, Any]) -> None:
    """Nylon hardly sharpens, and a nut set forward takes the sharpness off."""
    assert verdict(state(HIGH, *cents_by_fret(6, {1: 0}), **parts)) != CONTRADICTED


def test_the_sharpness_that_belongs_to_it_is_no_contradiction() -> None:
    """45 thou and fifteen cents sharp fit together."""
    assert verdict(state(HIGH, *cents_by_fret(6, {1: 15}))) == (CallKind.LOWER, CallReason.TOO_HIGH)


def test_doubtful_cents_contradict_nothing() -> None:
    """Cents that came with a doubt of ten may be anything."""
    doubtful = {"string": 6, "fret": 1, "cents": 0, "doubt_cents": 10}
    assert verdict(state(HIGH, doubtful)) != CONTRADICTED


@pytest.mark.parametrize(
    "other",
    [
        {"string": 6, "leaf": "0.018 in", "contact": "heavy"},
        {"string": 6, "held_at": 3, "gap": "0 mm"},
    ],
    ids=["number against leaf", "number against held at 3"],
)
def test_any_two_heights_that_disagree_are_named(other: dict[str, Any]) -> None:
    """A number of 0.80 mm against a leaf that binds, or a string without a gap while held."""
    found = state({"string": 6, "clearance": "0.80 mm", "buzz": "none"}, other)
    assert verdict(found) == CONTRADICTED
    assert "0.8" in found.call.why


# --- honest confidence ---


def test_a_hard_player_two_thou_under_target_may_have_height_at_fault() -> None:
    """It buzzes, a little low for such a hand: neither height nor anything else is stated as sure,
    and a slip of paper would tell."""
    heavy = {"player": {"attack": "heavy"}}
    target = state({"string": 6, "clearance": "0.5 mm"}, **heavy).window.target_mm
    reading = {"string": 6, "clearance": f"{target - 0.0508:.4f} mm", "buzz": "normal"}
    found = state(reading, kit={"leaves": []}, **heavy)
    assert found.call.call is CallKind.CHECK_FIRST
    assert found.call.confidence < 0.8
    assert "not the cause" not in found.call.why


def test_room_enough_is_from_the_target_on() -> None:
    """On its target and over it, a buzz as played is still not the height's."""
    target = state({"string": 6, "clearance": "0.5 mm"}).window.target_mm
    for over in (0.0, 0.06):
        reading = {"string": 6, "clearance": f"{target + over:.4f} mm", "buzz": "normal"}
        assert state(reading).call.reason in ("buzz is not height", "room enough, yet it buzzes")


def slack(*readings: dict[str, Any]) -> StringState:
    """The sixth string of an electric guitar tuned down to B."""
    instrument = {
        "kind": "electric guitar",
        "strings": [{"string": 6, "pitch": "B1", "gauge": "0.046 in", "make": "wound steel"}],
    }
    return state(*readings, instrument=instrument)


def test_a_slack_string_at_its_usual_height_has_something_to_lose() -> None:
    """Twenty thou, low for a string tuned so far down, yet clean: it stays, and is not said to have
    nothing left to lose, nor believed at ninety-nine."""
    found = slack({"string": 6, "clearance": "0.508 mm", "buzz": "none"})
    assert found.call.call is CallKind.LEAVE
    if found.call.reason == CallReason.LOW_BUT_CLEAN:
        assert "nothing left to lose" not in found.call.next_step
        assert found.call.confidence <= TRADE.call.low_by_model_confidence


@given(st.floats(0.06, 0.8), st.floats(0.0, 0.3), st.sampled_from(["soft", "normal", "hard"]))
@settings(deadline=None, max_examples=40)
def test_a_higher_string_that_buzzes_is_never_called_toward_raise(
    clearance_mm: float, more_mm: float, buzz: str
) -> None:
    """With a buzz to explain too the calls go from raise to check, and never back."""
    rank = {CallKind.RAISE: 0, CallKind.LOWER: 2}
    calls = [
        state({"string": 6, "clearance": f"{mm:.4f} mm", "buzz": buzz}).call.call
        for mm in (clearance_mm, clearance_mm + more_mm)
    ]
    assert rank.get(calls[0], 1) <= rank.get(calls[1], 1)
