"""What a visit of the whole instrument lacks before a slot is cut, and what bars no visit else."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.gates import look_questions
from logic.bench.plan.plan import make_plan
from logic.bench.window.string_window import windows
from logic.testing import (
    LOOKED_AT,
    SIX_STRINGS,
    TRADE,
    gate_named,
    instrument,
    job_with,
    mm,
    number,
)
from shared.instrument import Player
from shared.job import IRREVERSIBLE, CallKind, GateState, Job, Plan
from shared.measurements import ActionMeasurement, Measurement, Posture, ReliefMeasurement, Side
from shared.setup import SaddleStep, Scope, Setup, SetupStep, SkipStep, Stage, TurnStep

USUAL = {6: 2.0, 5: 1.95, 4: 1.9, 3: 1.8, 2: 1.7, 1: 1.6}
"""An action inside its window on every string of an electric guitar."""
BOTH = (Side.BASS, Side.TREBLE)


def relief(amount: float, sides: tuple[Side, ...] = BOTH, **fields: Any) -> tuple[Measurement, ...]:
    """Relief that was measured as a number on these sides."""
    return tuple(ReliefMeasurement(value=mm(amount), side=side, **fields) for side in sides)


def action(off: float = 0.0, times: int = 3, **fields: Any) -> tuple[Measurement, ...]:
    """The action of every string, so often that a rule's error is no question."""
    return tuple(
        ActionMeasurement(string=string, fret=12, value=mm(round(at + off, 3)), **fields)
        for string, at in USUAL.items()
        for _ in range(times)
    )


def visit(
    scope: Scope | None,
    measured: tuple[Measurement, ...] = (),
    steps: tuple[SetupStep, ...] = (),
    checks: dict[str, Any] | None = None,
    over: float = 0.35,
) -> Job:
    """An electric guitar of which every string was read as far over its target."""
    targets = {s: w.target_mm for s, w in windows(instrument(), Player(), TRADE).items()}
    readings = [number(mm(targets[s] + over), s) for s in SIX_STRINGS]
    asked = LOOKED_AT | {"glued": "no", "valuable": "no"} | (checks or {})
    setup = Setup(scope=scope, readings=measured, steps=steps)
    return job_with("electric guitar", readings, setup=setup, checks=asked)


def cuts(plan: Plan) -> list[int]:
    """The strings of which something is to come off."""
    return [call.string for call in plan.strings if call.call in IRREVERSIBLE]


def base_down(plan: Plan) -> bool:
    """Whether the whole nut is to come down."""
    return any(way.method == "base" and way.recommended for way in plan.nut.options)


IN_ORDER = (*relief(0.22), *action())


def test_with_relief_and_action_in_order_the_nut_is_cut() -> None:
    """So it was cut, and its base advised, in a visit for the nut alone."""
    alone, whole = (make_plan(visit(s, IN_ORDER), TRADE) for s in (Scope.NUT, Scope.WHOLE))
    assert cuts(alone) == cuts(whole) == sorted(SIX_STRINGS, reverse=True)
    assert base_down(alone) and base_down(whole)


@pytest.mark.parametrize(
    ("gate", "reason", "measured", "steps"),
    [
        ("relief_before_nut", "relief comes first", action(), ()),
        ("action_before_nut", "action comes first", relief(0.22), ()),
        ("relief_before_nut", "relief comes first", action(), (SkipStep(stage=Stage.RELIEF),)),
        ("relief_before_nut", "relief first", (*relief(0.6), *action()), ()),
        ("relief_before_nut", "relief first", (*relief(0.0), *action()), ()),
        ("relief_before_nut", "relief may have changed", IN_ORDER, (TurnStep(after_readings=0),)),
        ("action_before_nut", "action first", (*relief(0.22), *action(-0.9)), ()),
        ("action_before_nut", "action first", (*relief(0.22), *action(1.2)), ()),
        (
            "action_before_nut",
            "action may have changed",
            IN_ORDER,
            (SaddleStep(height=mm(-0.4), after_readings=0),),
        ),
        (
            "relief_before_nut",
            "not measured as it is played",
            (*relief(0.22, posture=Posture.BACK), *action(posture=Posture.BACK)),
            (),
        ),
        ("relief_before_nut", "two postures", (*relief(0.22, posture=Posture.BACK), *action()), ()),
    ],
)
def test_nothing_comes_off_while_something_comes_first(
    gate: str, reason: str, measured: tuple[Measurement, ...], steps: tuple[SetupStep, ...]
) -> None:
    """Unread, out, moved since or read as it lay otherwise: no slot is cut and no base; a visit for
    the nut alone has no such gate."""
    plan = make_plan(visit(Scope.WHOLE, measured, steps), TRADE)
    found = gate_named(plan.gates, gate)
    assert found.reason == reason and found.state is not GateState.PASSED
    assert not cuts(plan) and not base_down(plan)
    assert not any(call.slot_cut_mm for call in plan.strings)
    for scope in (None, Scope.NUT):
        gates = make_plan(visit(scope, measured, steps), TRADE).gates
        assert not {"relief_before_nut", "action_before_nut", "visit_scope"} & {
            each.gate for each in gates
        }


def test_a_neck_that_bends_back_is_named() -> None:
    """Below zero it is called so, with its figure."""
    plan = make_plan(visit(Scope.WHOLE, (*relief(-0.15), *action())), TRADE)
    assert gate_named(plan.gates, "relief_before_nut").why.startswith("The neck bends back (-0.1")


def test_an_action_that_is_too_low_is_named() -> None:
    """With the strings that have it."""
    low = (*relief(0.22), *action(-0.9))
    why = gate_named(make_plan(visit(Scope.WHOLE, low), TRADE).gates, "action_before_nut").why
    assert "too low" in why and "strings 6, 5, 4, 3, 2 and 1" in why


def test_a_check_changes_nothing() -> None:
    """Where only a check was asked for, nothing is lowered, raised or widened."""
    for over in (0.35, -0.25):
        plan = make_plan(visit(Scope.CHECK, IN_ORDER, over=over), TRADE)
        barred = {CallKind.LOWER, CallKind.RAISE, CallKind.WIDEN}
        assert not barred & {call.call for call in plan.strings}
        assert not any(way.recommended for way in plan.nut.options)


def test_what_the_look_finds_stops_every_visit_and_is_asked_of_a_whole_one() -> None:
    """A crack bars every cut, whatever the visit is for; what nobody looked at is not even listed
    in a visit for the nut alone."""
    nut_alone = {gate.gate for gate in make_plan(visit(None, IN_ORDER), TRADE).gates}
    assert nut_alone.isdisjoint(TRADE.setup.look)
    for question in look_questions(TRADE):
        bad = next((choice.key for choice in question.choices if not choice.good), None)
        if bad is None:
            continue
        for scope in (Scope.WHOLE, None):
            plan = make_plan(visit(scope, IN_ORDER, checks={question.gate: bad}), TRADE)
            found = gate_named(plan.gates, question.gate)
            assert found.state is GateState.FAILED and found.why
            assert bool(cuts(plan)) == (CallKind.LOWER not in found.forbids)


def test_the_look_is_what_the_stages_wait_for() -> None:
    """Every question of its page, and no other."""
    assert [each.gate for each in look_questions(TRADE)] == list(TRADE.setup.look)


STEPS = st.sampled_from(
    (TurnStep(eighths=-1), TurnStep(), SaddleStep(), SaddleStep(string=6, height=mm(-0.5)))
)


@settings(max_examples=25)
@given(
    steps=st.lists(STEPS, max_size=3),
    bend=st.floats(-0.3, 0.9),
    off=st.floats(-0.9, 1.2),
    read=st.sampled_from(("all", "relief", "action", "nothing")),
)
def test_a_cut_needs_all_that_comes_before_it(
    steps: list[SetupStep], bend: float, off: float, read: str
) -> None:
    """In a whole visit nothing comes off unless relief and action were read, since the last step,
    and lie where they may."""
    measured: tuple[Measurement, ...] = ()
    measured += relief(round(bend, 3)) if read in ("all", "relief") else ()
    measured += action(round(off, 3)) if read in ("all", "action") else ()
    placed = tuple(step.model_copy(update={"after_readings": 0}) for step in steps)
    plan = make_plan(visit(Scope.WHOLE, measured, placed), TRADE)
    if cuts(plan) or base_down(plan):
        assert read == "all" and not steps
        assert 0.0 < bend < 0.45 and -0.9 < off < 0.7
