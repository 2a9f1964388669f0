"""Widening takes a sign and a width that is not known to fit; and a part without slots is never
widened."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.circumstances import CIRCUMSTANCES
from logic.bench.plan.plan import make_plan
from logic.testing import ELECTRIC, TRADE, job
from shared.job import CallKind, StringCall
from tests.logic.bench.plan.test_cut_begins import RULED_OUT

NARROW, FITS = "0.044 in", "0.048 in"  # for a string of .046 in
RIDES = {"seated": "no"}
SITS = {"seated": "yes"}
PINGS = {"ping": "yes"}


def call_for(checks: dict[str, Any], nut: str = "slotted", complaint: str = "") -> StringCall:
    """The call for the low E of an electric guitar, usual in height, on which all else was ruled
    out."""
    reading = {"string": 6, "clearance": "0.45 mm", "buzz": "none"}
    made = job(
        checks={k: v for k, v in RULED_OUT.items() if k != "seated"} | checks,
        readings=[reading],
        complaint=complaint,
        instrument=ELECTRIC | {"nut": {"type": nut}},
    )
    return next(call for call in make_plan(made, TRADE).strings if call.string == 6)


def test_every_circumstance_leads_to_an_option_of_its_rule() -> None:
    """Names in the book of rules are circumstances that are known, and options that are there."""
    options = [(rule, option) for rule in TRADE.rules.rules for option in rule.options]
    assert any(option.where for _, option in options)
    for rule, option in options:
        assert set(option.where) <= set(CIRCUMSTANCES)
        assert all(not rule.option(to).where for to in option.where.values())


@pytest.mark.parametrize(
    ("checks", "complaint", "right"),
    [
        ({"slot_width": NARROW} | RIDES, "", CallKind.WIDEN),
        ({"slot_width": NARROW} | SITS | PINGS, "", CallKind.WIDEN),
        ({"slot_width": NARROW} | SITS, "pings", CallKind.WIDEN),
        (RIDES, "", CallKind.WIDEN),
        ({"slot_width": NARROW} | SITS | {"ping": "no"}, "", CallKind.LEAVE),
        ({"slot_width": NARROW} | SITS | {"ping": "no"}, "just a check", CallKind.LEAVE),
        ({"slot_width": NARROW}, "", CallKind.CHECK_FIRST),
        ({"slot_width": FITS} | RIDES, "", CallKind.EASE),
        ({"slot_width": "fits"} | RIDES, "", CallKind.EASE),
        ({"slot_width": "fits"} | RIDES | PINGS, "pings", CallKind.EASE),
    ],
)
def test_a_slot_is_widened_for_a_sign_and_a_width_that_may_not_fit(
    checks: dict[str, Any], complaint: str, right: CallKind
) -> None:
    """What rides or binds in a slot of unknown or too little width is widened; what does neither
    stays; what rides in a slot that fits is cleaned."""
    assert call_for(checks, complaint=complaint).call is right


def test_seat_and_width_that_disagree_are_both_named() -> None:
    """What was said of the seat and what was measured of the width stand in one reason."""
    why = call_for({"slot_width": FITS} | RIDES).why
    assert "ride on the walls" in why
    assert "wide enough" in why


@given(
    st.sampled_from(("clamping", "roller", "zero fret", "tall slide")),
    st.fixed_dictionaries(
        {},
        optional={
            "seated": st.sampled_from(("yes", "no", "skipped")),
            "slot_width": st.sampled_from((NARROW, FITS, "narrow", "ok", "unknown")),
            "ping": st.sampled_from(("yes", "no")),
            "after_bend": st.sampled_from(("sharp", "true")),
        },
    ),
    st.sampled_from(("", "pings", "will not stay in tune", "just a check")),
)
@settings(deadline=None, max_examples=30)
def test_a_part_without_slots_is_never_widened(
    nut: str, checks: dict[str, Any], complaint: str
) -> None:
    """Clamps, rollers, a zero fret and a tall slide nut, whatever rides, binds or is too narrow."""
    assert call_for(checks, nut, complaint).call is not CallKind.WIDEN


def test_turned_round_and_as_cut_cannot_both_be() -> None:
    """What was complained of and what was answered are at odds: nothing is cut on either."""
    checks = {"other_hand": "yes", "bears_at_front": "yes", "seated": "yes"}
    call = call_for(checks, complaint="strung for the other hand")
    assert call.call is CallKind.CHECK_FIRST
    assert "strung for the other hand" in call.why
