"""Reasons are facts: what is decided by them, and what is said of them, needs no look at a word."""

from __future__ import annotations

import json

import pytest

from logic.bench.checks.gates import evaluate_gates
from logic.bench.checks.reasons import checked_first, reason_said
from logic.bench.instrument.presets import preset_instrument
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE
from shared.job import CallKind, Gate, GateState, Job, StringCall, Window
from shared.readings import ClearanceReading
from shared.reasons import MADE_HERE, GateReason, Lack, OpenCheck
from shared.units import Length

GUITAR = preset_instrument("electric guitar", TRADE)
HIGH = tuple(
    ClearanceReading(string=string, clearance=Length.parse("0.9 mm")) for string in range(1, 7)
)


CHECKS = {"relief": "?", "seated": "skipped"}


def _call(reason: str, open_check: OpenCheck | None = None) -> StringCall:
    return StringCall(
        string=1,
        call=CallKind.CHECK_FIRST,
        reason=reason,
        open_check=open_check,
        why="",
        confidence=1,
        window_mm=Window(low=0.3, target=0.4, high=0.5),
    )


def test_every_reason_that_code_decides_by_is_given_by_a_rule() -> None:
    """A reason that is spelled otherwise in the book of rules would decide nothing."""
    book = {option.reason for rule in TRADE.rules.rules for option in rule.options}
    assert set(GateReason) - MADE_HERE <= book
    assert not MADE_HERE & book


@pytest.mark.parametrize(
    ("reason", "said"),
    [
        (GateReason.RELIEF_FIRST, "relief"),
        (GateReason.LOW_FRETS_FIRST, "frets 1 to 3"),
        (GateReason.SLOT_FLOOR_FIRST, "slot floor"),
        (GateReason.NUT_POSITION_FIRST, "nut position"),
        ("a capo is on", "a capo is on"),
    ],
)
def test_what_is_checked_first_is_not_said_to_come_first_twice(reason: str, said: str) -> None:
    """Behind the words “Check first” stands only what."""
    assert checked_first(_call(reason)) == said


def test_an_open_check_is_a_fact_of_the_gate_and_of_the_call_that_waits_for_it() -> None:
    """Both say what is lacking, and a plan publishes it as the reason, as it always has."""
    job = Job(instrument=GUITAR, complaint="buzz fretted", checks=CHECKS, readings=HIGH)
    lacking: dict[Lack, list[Gate]] = {lack: [] for lack in Lack}
    for gate in evaluate_gates(job, TRADE):
        if gate.lacks:
            lacking[gate.lacks].append(gate)
    assert all(lacking.values())
    for lack, gates in lacking.items():
        state = GateState.SKIPPED if lack is Lack.LEFT_OUT else GateState.OPEN
        assert all(gate.state is state for gate in gates)
    waiting = [call for call in make_plan(job, TRADE).strings if call.open_check]
    assert waiting
    for call in waiting:
        assert call.open_check is not None
        assert call.reason == call.open_check.reason
        assert reason_said(call) == call.reason


def test_facts_for_people_do_not_travel_with_a_plan() -> None:
    """A published plan has the fields that it always had."""
    job = Job(instrument=GUITAR, complaint="buzz fretted", checks={"relief": "?"}, readings=HIGH)
    plan = json.loads(make_plan(job, TRADE).model_dump_json())
    assert not {"lacks"} & set(plan["gates"][0])
    assert not {"open_check"} & set(plan["strings"][0])
