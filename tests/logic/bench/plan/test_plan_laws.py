"""What no job may break: calls do not hang on unit, language or order, and less reason to cut never
cuts more."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.plan.amounts import reading_error_mm
from logic.bench.plan.plan import make_plan, string_state
from logic.languages import load_language
from logic.physics.neck import SLOT_TO_CLEARANCE
from logic.testing import TRADE, job
from shared.job import IRREVERSIBLE, CallKind, Plan
from shared.words import speaking
from tests.logic.bench.plan.test_cut_begins import RULED_OUT

STRINGS = (6, 3, 1)
CHECKS = RULED_OUT | {"measured_over": "fret"}
BUZZES = ("none", "soft", "normal", "hard", "unknown")
REASONS: tuple[dict[str, Any], ...] = (
    {},
    {"complaint": "stiff in first position"},
    {"complaint": "sharp low chords"},
    {"to_my_target": True},
    {"complaints": [{"is": "stiff in first position", "strings": [6]}]},
)

leaves = st.builds(
    lambda string, thou, contact: {"string": string, "leaf": thou, "contact": contact},
    st.sampled_from(STRINGS),
    st.integers(6, 40),
    st.sampled_from(("none", "light", "heavy")),
)
numbers = st.builds(
    lambda string, thou: {"string": string, "clearance": thou},
    st.sampled_from(STRINGS),
    st.integers(6, 40),
)
cents = st.builds(
    lambda string, fret, value: {"string": string, "fret": fret, "cents": value},
    st.sampled_from(STRINGS),
    st.sampled_from((1, 2, 3, 12)),
    st.integers(-10, 50),
)
rung = st.builds(
    lambda string, buzz: {"string": string, "buzz": buzz},
    st.sampled_from(STRINGS),
    st.sampled_from(BUZZES[:4]),
)


def asked(reading: dict[str, Any]) -> tuple[Any, ...]:
    """What a reading answers: each is asked once, for a second answer replaces the first."""
    kind = next(name for name in ("leaf", "clearance", "fret", "buzz") if name in reading)
    return reading["string"], kind, reading[kind] if kind in ("leaf", "fret") else None


entries = st.lists(st.one_of(leaves, numbers, cents, rung), max_size=9, unique_by=asked)
reasons = st.sampled_from(REASONS)


def written(reading: dict[str, Any], unit: str) -> dict[str, Any]:
    """The reading with its length in thou, inches or millimetres, all the same length."""
    spelled = dict(reading)
    for field in ("leaf", "clearance"):
        if field in reading:
            thou = reading[field]
            ways = {"thou": f"{thou} thou", "in": f"{thou / 1000:.3f} in"}
            spelled[field] = ways.get(unit, f"{thou * 0.0254:.4f} mm")
    return spelled


def plan_of(readings: list[dict[str, Any]], unit: str = "thou", **parts: Any) -> Plan:
    """The plan of an electric guitar on which everything else was ruled out."""
    spelled = [written(reading, unit) for reading in readings]
    return make_plan(job(checks=CHECKS, readings=spelled, **parts), TRADE)


def calls(plan: Plan) -> dict[int, tuple[CallKind, str]]:
    """Call and reason of every string."""
    return {call.string: (call.call, call.reason) for call in plan.strings}


@given(entries, reasons, st.sampled_from(("in", "mm")))
@settings(deadline=None, max_examples=25)
def test_the_unit_changes_no_call(
    readings: list[dict[str, Any]], parts: dict[str, Any], unit: str
) -> None:
    """The same lengths written in thou, in inches or in millimetres."""
    assert calls(plan_of(readings, unit, **parts)) == calls(plan_of(readings, **parts))


@given(entries, reasons)
@settings(deadline=None, max_examples=15)
def test_the_language_changes_no_call(
    readings: list[dict[str, Any]], parts: dict[str, Any]
) -> None:
    """The same job read in German: calls, reasons and amounts are the same."""
    plain = plan_of(readings, **parts)
    with speaking(load_language("de")):
        german = plan_of(readings, **parts)
    assert calls(german) == calls(plain)
    amounts = [[call.slot_cut_mm for call in plan.strings] for plan in (plain, german)]
    assert amounts[0] == amounts[1]


@given(st.data(), entries, reasons)
@settings(deadline=None, max_examples=25)
def test_the_order_of_entry_changes_no_call(
    data: st.DataObject, readings: list[dict[str, Any]], parts: dict[str, Any]
) -> None:
    """The same answers in any order, each question answered once."""
    again = data.draw(st.permutations(readings))
    assert calls(plan_of(again, **parts)) == calls(plan_of(readings, **parts))


@given(entries, st.sampled_from(REASONS[1:]))
@settings(deadline=None, max_examples=40)
def test_less_reason_never_cuts_more(
    readings: list[dict[str, Any]], reason: dict[str, Any]
) -> None:
    """Without the complaint or the wish no string is cut that was not, and none deeper."""
    asked_for, unasked = plan_of(readings, **reason), plan_of(readings)
    for more, less in zip(asked_for.strings, unasked.strings, strict=True):
        if less.call is CallKind.LOWER:
            assert more.call is CallKind.LOWER
            assert (more.slot_cut_mm or 0.0) >= (less.slot_cut_mm or 0.0) - 1e-6


@given(entries, reasons)
@settings(deadline=None, max_examples=40)
def test_no_cut_is_made_of_less_than_it_takes(
    readings: list[dict[str, Any]], parts: dict[str, Any]
) -> None:
    """What is to be cut was touched, and its cut exceeds what the reading may be off by."""
    touched = {r["string"] for r in readings if "leaf" in r or "clearance" in r}
    spelled = [written(reading, "mm") for reading in readings]
    made = job(checks=CHECKS, readings=spelled, **parts)
    for call in make_plan(made, TRADE).strings:
        if call.call in IRREVERSIBLE:
            assert call.string in touched
        if call.slot_cut_mm is not None:
            believed = string_state(made, call.string, TRADE).believed
            drop = call.slot_cut_mm * SLOT_TO_CLEARANCE
            assert drop >= reading_error_mm(believed, TRADE.call) - 1e-4


@given(entries, reasons, st.sampled_from(STRINGS), st.integers(6, 38), st.integers(1, 20))
@settings(deadline=None, max_examples=40)
def test_more_height_never_calls_toward_raise(
    readings: list[dict[str, Any]], parts: dict[str, Any], string: int, thou: int, more: int
) -> None:
    """The clearance of one string typed higher, all else as it was said: never from leave to raise,
    never from lower to raise."""
    rest = [r for r in readings if r["string"] != string or "buzz" in r]
    rank = {CallKind.RAISE: 0, CallKind.LOWER: 2}
    made = [
        calls(plan_of([*rest, {"string": string, "clearance": height}], **parts))[string][0]
        for height in (thou, min(thou + more, 40))
    ]
    assert rank.get(made[0], 1) <= rank.get(made[1], 1)


@pytest.mark.parametrize("cents_at_1", range(-10, 41, 2))
def test_more_sharpness_alone_never_changes_what_may_be_cut(cents_at_1: int) -> None:
    """Without a leaf every cent leads to the same: nothing may be cut."""
    plan = plan_of([{"string": 3, "fret": 1, "cents": cents_at_1}], to_my_target=True)
    assert calls(plan)[3][0] in (CallKind.READ_AGAIN, CallKind.CHECK_FIRST)
