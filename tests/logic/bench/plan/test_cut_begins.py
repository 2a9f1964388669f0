"""When a cut may begin: above the window, or inside it for a reason, and never inside the error."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.plan.amounts import reading_error_mm
from logic.bench.plan.plan import StringState, string_state
from logic.physics.neck import SLOT_TO_CLEARANCE
from logic.testing import TRADE, job
from shared.job import CallKind
from shared.reasons import CallReason

TABLE = TRADE.call
RULED_OUT = {
    "at_pitch": "yes",
    "tuning": "yes",
    "capo": "off",
    "anchored": "yes",
    "behind_nut": "clear",
    "playing_position": "yes",
    "relief": "ok",
    "frets": "ok",
    "seated": "yes",
}
STRING = 6
STIFF = {"complaint": "stiff in first position"}


def standing(clearance_mm: float, string: int = STRING, **parts: Any) -> StringState:
    """A clean string of an electric guitar, read as a number, with everything else ruled out."""
    reading = {"string": string, "clearance": f"{clearance_mm:.4f} mm", "buzz": "none"}
    checks = RULED_OUT | {"measured_over": "fret"}
    made = job(checks=checks, readings=[reading, *parts.pop("more", [])], **parts)
    return string_state(made, string, TRADE)


WINDOW = standing(0.5).window


def test_a_healthy_string_a_hair_over_its_target_is_left() -> None:
    """Two thou over target with nobody complaining: leave, and what it could come down by."""
    call = standing(WINDOW.target_mm + 0.0508).call
    assert (call.call, call.reason) == (CallKind.LEAVE, CallReason.A_HAIR_HIGH)
    assert "if the player wants" in call.why
    assert call.slot_cut_mm is None


def test_on_its_target_nothing_is_said_of_coming_down() -> None:
    """What the reading may be off by is no height to spare."""
    call = standing(WINDOW.target_mm + 0.02).call
    assert (call.call, call.reason) == (CallKind.LEAVE, CallReason.ON_TARGET)


@pytest.mark.parametrize(
    "parts",
    [
        STIFF,
        {"to_my_target": True},
        {"complaints": [{"is": "stiff in first position", "strings": [STRING]}]},
        {"checks": {**RULED_OUT, "fill": "cured"}},
    ],
    ids=["a complaint of height", "to my target", "of this string", "a fill to be cut again"],
)
def test_inside_the_window_it_comes_down_for_a_reason(parts: dict[str, Any]) -> None:
    """A complaint of height, the technician's wish, a hardened fill: down to the target."""
    reading = {
        "string": STRING,
        "clearance": f"{WINDOW.target_mm + 0.09:.4f} mm",
        "buzz": "none",
    }
    made = job(**{"checks": RULED_OUT, "readings": [reading], **parts})
    call = string_state(made, STRING, TRADE).call
    assert call.call is CallKind.LOWER
    assert call.slot_cut_mm == pytest.approx(0.08 / SLOT_TO_CLEARANCE, abs=0.03)


@pytest.mark.parametrize(
    "parts",
    [
        {"complaint": "sharp low chords"},
        {"complaint": "check"},
        {"complaints": [{"is": "stiff in first position", "strings": [1]}]},
    ],
    ids=["sharpness", "a check", "of another string"],
)
def test_what_is_no_complaint_of_this_strings_height_begins_no_cut(parts: dict[str, Any]) -> None:
    """Sharpness, a check-over and another string's height are no reasons to file this one."""
    assert standing(WINDOW.target_mm + 0.09, **parts).call.call is not CallKind.LOWER


def test_over_its_window_a_string_is_lowered_without_a_complaint() -> None:
    """What stands above the upper edge is a fault, whoever noticed it."""
    call = standing(WINDOW.high_mm + 0.06).call
    assert (call.call, call.reason) == (CallKind.LOWER, CallReason.TOO_HIGH)


def test_a_cut_once_begun_goes_on_to_its_target() -> None:
    """After a pass of the file the same height is no longer left inside the window."""
    height = WINDOW.target_mm + 0.09
    again = {"string": STRING, "clearance": f"{height:.4f} mm", "buzz": "none"}
    passes = [{"string": STRING, "strokes": 3, "after": 1}]
    begun = standing(WINDOW.high_mm + 0.1, more=[again], passes=passes)
    assert begun.call.call is CallKind.LOWER
    assert standing(height).call.call is CallKind.LEAVE


heights = st.floats(0.06, 1.6)


@given(heights, st.booleans(), st.sampled_from([{}, STIFF]))
@settings(deadline=None, max_examples=60)
def test_no_cut_is_smaller_than_the_reading_may_be_off_by(
    clearance_mm: float, to_my_target: bool, complaint: dict[str, Any]
) -> None:
    """Whatever was asked for, a depth is given only where it exceeds the error of the reading."""
    state = standing(clearance_mm, to_my_target=to_my_target, **complaint)
    if state.call.slot_cut_mm is not None:
        drop = state.call.slot_cut_mm * SLOT_TO_CLEARANCE
        assert drop >= reading_error_mm(state.believed, TABLE) - 1e-4


RANK = {CallKind.RAISE: 0, CallKind.LOWER: 2}


@given(heights, st.floats(0.0, 0.4), st.booleans())
@settings(deadline=None, max_examples=60)
def test_a_higher_string_is_never_called_toward_raise(
    clearance_mm: float, more_mm: float, to_my_target: bool
) -> None:
    """Through all checks: raise, then leave or ask, then lower, as the clearance grows."""
    calls = [
        standing(height, to_my_target=to_my_target).call.call
        for height in (clearance_mm, clearance_mm + more_mm)
    ]
    assert RANK.get(calls[0], 1) <= RANK.get(calls[1], 1)


@given(heights, st.sampled_from([{"to_my_target": True}, STIFF]))
@settings(deadline=None, max_examples=60)
def test_without_its_reason_a_cut_is_never_likelier(
    clearance_mm: float, reason: dict[str, Any]
) -> None:
    """Taking a complaint of height or the wish for the target away never makes a cut of a string
    that had none, nor a deeper one."""
    asked, unasked = standing(clearance_mm, **reason).call, standing(clearance_mm).call
    if unasked.call is CallKind.LOWER:
        assert asked.call is CallKind.LOWER
        assert (asked.slot_cut_mm or 0.0) >= (unasked.slot_cut_mm or 0.0) - 1e-4


def test_low_inside_its_window_has_something_left_for_wear() -> None:
    """A string under its target and over its low edge is called what it is."""
    call = standing(WINDOW.low_mm + 0.05).call
    assert (call.call, call.reason) == (CallKind.LEAVE, CallReason.LOW_BUT_CLEAN)
    assert "lower part of its window" in call.why
    assert "nothing left" not in call.next_step
