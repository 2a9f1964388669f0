"""Entries that can hardly be meant are questioned before anything is made of them."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.checks.gates import evaluate_gates, next_questions
from logic.bench.checks.odd_entries import odd_tensions
from logic.bench.instrument.presets import kinds, preset_instrument
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, gate_named, job, touches
from shared.instrument import Instrument
from shared.job import CallKind, GateState, Plan, StringCall
from shared.units import parse_gauge
from tests.logic.bench.plan.test_cut_begins import RULED_OUT

CUTS = (CallKind.LOWER, CallKind.RAISE, CallKind.WIDEN)


def strung(string: int, **changed: Any) -> dict[str, Any]:
    """An electric guitar with one string listed otherwise."""
    usual = preset_instrument("electric guitar", TRADE)
    strings = [
        {"string": s.string, "pitch": str(s.pitch), "gauge": str(s.gauge), "make": s.make.value}
        | (changed if s.string == string else {})
        for s in usual.strings
    ]
    return {"kind": "electric guitar", "strings": strings}


def plan_of(instrument: dict[str, Any], *readings: dict[str, Any], **checks: str) -> Plan:
    """Its plan with everything else ruled out."""
    return make_plan(job(instrument, readings=list(readings), checks=RULED_OUT | checks), TRADE)


def call_of(plan: Plan, string: int) -> StringCall:
    """The call of one string."""
    return next(call for call in plan.strings if call.string == string)


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_no_usual_string_pulls_oddly(kind: str) -> None:
    """Every string of every preset is believed, with and without the preset to compare it with."""
    usual = preset_instrument(kind, TRADE)
    assert odd_tensions(usual, usual, TRADE) == {}
    assert odd_tensions(usual, None, TRADE) == {}


@pytest.mark.parametrize(
    ("changed", "odd"),
    [
        ({"gauge": "0.090 in"}, True),
        ({"pitch": "E2"}, True),
        ({"pitch": "E5"}, True),
        ({"pitch": "D4"}, False),
        ({"gauge": "0.012 in"}, False),
        ({"pitch": "B3", "gauge": "0.011 in"}, False),
    ],
    ids=str,
)
def test_gauge_and_pitch_that_cannot_both_be_meant(changed: dict[str, str], odd: bool) -> None:
    """A first string that would pull thousands of newtons, next to nothing, or break, is never cut;
    another tuning or a gauge more is nothing to ask about."""
    high = touches("0.030 in", "light", strings=(1, 2))
    plan = plan_of(strung(1, **changed), *high)
    call = call_of(plan, 1)
    assert (call.reason == "gauge or pitch in doubt") is odd
    assert (call.call is CallKind.LOWER) is not odd
    assert call_of(plan, 2).call is CallKind.LOWER


def test_a_string_that_pulls_so_on_purpose_can_be_said_to() -> None:
    """Asked once and answered *as written*, it is believed, unless its wire could not bear it."""
    high = touches("0.030 in", "light", strings=(1,))
    odd, broken = strung(1, gauge="0.018 in"), strung(1, pitch="E5")
    assert call_of(plan_of(odd, *high), 1).call is CallKind.CHECK_FIRST
    assert call_of(plan_of(odd, *high, tension="yes"), 1).call is CallKind.LOWER
    assert call_of(plan_of(broken, *high, tension="yes"), 1).call is CallKind.CHECK_FIRST


def test_where_nobody_says_what_is_usual_the_limits_are_wide() -> None:
    """On an instrument of no known kind only what no plucked string pulls is questioned."""
    usual: Instrument = preset_instrument("other", TRADE)
    *others, first = usual.strings
    thick = first.model_copy(update={"gauge": parse_gauge(".090")})
    odd = usual.model_copy(update={"strings": (*others, thick)})
    assert set(odd_tensions(odd, None, TRADE)) == {first.string}


GREAT = {"string": 6, "clearance": "1.1 mm", "buzz": "none"}


def test_a_great_height_is_asked_about_before_any_amount() -> None:
    """Over 0.9 mm on steel: over the fret or over the board? Until then no call takes or gives
    anything, and no amount stands beside it."""
    high = {"string": 5, "clearance": "1.0 mm", "buzz": "none"}
    plan = plan_of({"kind": "electric guitar"}, GREAT, high)
    for string in (6, 5):
        call = call_of(plan, string)
        assert call.call not in CUTS
        assert call.slot_cut_mm is None
    gate = gate_named(plan.gates, "measured_over")
    assert (gate.state, gate.strings) == (GateState.OPEN, (6, 5))


@pytest.mark.parametrize(
    ("answer", "call"), [("fret", CallKind.LOWER), ("board", CallKind.READ_AGAIN)]
)
def test_the_answer_counts_for_the_whole_instrument(answer: str, call: CallKind) -> None:
    """One answer settles every string: lower it, or read it again over the crown."""
    plan = plan_of({"kind": "electric guitar"}, GREAT, measured_over=answer)
    assert call_of(plan, 6).call is call


def test_a_great_number_is_read_with_a_leaf_before_anything_comes_off() -> None:
    """Even where it was said to be over the fret: high it is called, and how much only a leaf
    says."""
    alone = call_of(plan_of({"kind": "electric guitar"}, GREAT, measured_over="fret"), 6)
    assert (alone.call, alone.slot_cut_mm) == (CallKind.LOWER, None)
    assert "leaf" in alone.next_step
    leaf = touches("0.042 in", "none", strings=(6,))
    both = call_of(plan_of({"kind": "electric guitar"}, GREAT, *leaf, measured_over="fret"), 6)
    assert both.call is CallKind.LOWER
    assert both.slot_cut_mm is not None


@pytest.mark.parametrize(
    ("instrument", "clearance", "asked"),
    [
        ({"kind": "electric guitar"}, "0.85 mm", False),
        ({"kind": "electric guitar"}, "0.95 mm", True),
        ({"kind": "nylon-string guitar"}, "1.15 mm", False),
        ({"kind": "nylon-string guitar"}, "1.3 mm", True),
        ({"kind": "bass guitar"}, "1.15 mm", False),
        ({"kind": "bass guitar"}, "1.3 mm", True),
        ({"kind": "steel-string guitar", "nut": {"type": "tall slide"}}, "6 mm", False),
        ({"kind": "bass guitar", "fretted": False}, "1.3 mm", False),
    ],
)
def test_it_is_asked_where_it_is_great_for_such_a_string(
    instrument: dict[str, Any], clearance: str, asked: bool
) -> None:
    """Steel from 0.9 mm, gut, nylon and basses from 1.2; never of a nut raised for a slide or a
    board without frets, and never where nothing is that high."""
    made = job(instrument, readings=[{"string": 4, "clearance": clearance, "buzz": "none"}])
    assert any(q.gate == "measured_over" for q in next_questions(made, TRADE)) is asked
    assert any(g.gate == "measured_over" for g in evaluate_gates(made, TRADE)) is asked


@pytest.mark.parametrize(("leaf", "asked"), [("0.040 in", False), ("0.050 in", True)])
def test_a_leaf_is_believed_further(leaf: str, asked: bool) -> None:
    """A leaf lies on the crown: 40 thou that slides free is a high string, 50 is asked about."""
    plan = plan_of({"kind": "electric guitar"}, *touches(leaf, "none", strings=(6,)))
    assert (call_of(plan, 6).call is CallKind.LOWER) is not asked
    assert any(gate.gate == "measured_over" for gate in plan.gates) is asked
