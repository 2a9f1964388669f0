"""What cents allow in a plan: nothing alone, and with a leaf only what height explains."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.checks.gates import evaluate_gates
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, cents_by_fret, gate_named, job, touches
from shared.job import CallKind, Gate, GateState, Plan, StringCall
from tests.logic.bench.plan.test_cut_begins import RULED_OUT

THIRD = 3


def call_of(plan: Plan, string: int = THIRD) -> StringCall:
    """The call of one string."""
    return next(call for call in plan.strings if call.string == string)


def plan_of(*readings: dict[str, Any], **parts: Any) -> Plan:
    """The plan of an electric guitar with everything else ruled out."""
    checks = RULED_OUT | parts.pop("checks", {})
    return make_plan(job(readings=list(readings), checks=checks, **parts), TRADE)


def pitch_gate(*readings: dict[str, Any], string: int = THIRD) -> Gate:
    """What the cents are found to say of one string."""
    return gate_named(evaluate_gates(job(readings=list(readings)), TRADE), "pitch", string)


@pytest.mark.parametrize("cents", [-8, 0, 4, 5, 6, 20, 60])
@pytest.mark.parametrize("complaint", ["sharp low chords", "stiff in first position"])
@pytest.mark.parametrize("frets", [(1,), (1, 2, 3)])
def test_cents_alone_cut_nothing(cents: int, complaint: str, frets: tuple[int, ...]) -> None:
    """However sharp, whatever the complaint: without a leaf or a number no slot is cut."""
    readings = cents_by_fret(THIRD, dict.fromkeys(frets, cents))
    call = call_of(plan_of(*readings, complaint=complaint))
    assert call.call in (CallKind.CHECK_FIRST, CallKind.READ_AGAIN)
    assert call.slot_cut_mm is None


def test_a_high_string_is_lowered_and_read_again() -> None:
    """Where height explains more than half, *lower* stands; the rest is noted for afterwards."""
    readings = [*touches("0.030 in", "light", strings=(THIRD,)), *cents_by_fret(THIRD, {1: 13})]
    plan = plan_of(*readings)
    assert call_of(plan).call is CallKind.LOWER
    assert any("read the tuner again" in caution for caution in plan.cautions)


def test_a_high_string_that_is_far_sharper_is_not_cut() -> None:
    """Where height explains a quarter, the depth stays until the rest is found."""
    readings = [*touches("0.030 in", "light", strings=(THIRD,)), *cents_by_fret(THIRD, {1: 28})]
    call = call_of(plan_of(*readings))
    assert (call.call, call.reason) == (CallKind.CHECK_FIRST, "sharper than its height explains")


def test_far_over_its_window_it_is_high_however_sharp() -> None:
    """Well over its window, with the nut measured in its place, a string is lowered for its height,
    though height does not explain all that is heard; otherwise the nut's place comes first."""
    readings = [*touches("0.034 in", "light", strings=(THIRD,)), *cents_by_fret(THIRD, {1: 90})]
    placed = plan_of(*readings, checks={"nut_position": "ok"})
    assert call_of(placed).call is CallKind.LOWER
    assert call_of(plan_of(*readings)).call is CallKind.CHECK_FIRST


def test_a_saddle_at_the_bare_scale_is_a_saddle_fault() -> None:
    """On target and +18 at fret 12: the saddle, never height, and the depth stays."""
    readings = [
        *touches("0.018 in", "light", strings=(THIRD,)),
        *cents_by_fret(THIRD, {1: 3, 12: 18}),
    ]
    call = call_of(plan_of(*readings))
    assert (call.call, call.reason) == (CallKind.LEAVE, "saddle, not depth")
    assert "Height explains it" not in call.why


def test_a_hair_over_target_fret_twelve_is_still_the_saddle() -> None:
    """A string inside its window, over target or not, is never excused for +18 at fret 12; one over
    its window is lowered first, and the saddle is named beside it."""
    for leaf, call in (("0.0205 in", CallKind.LEAVE), ("0.030 in", CallKind.LOWER)):
        touched = touches(leaf, "light", strings=(THIRD,))
        plan = plan_of(*touched, *cents_by_fret(THIRD, {12: 18}))
        assert call_of(plan).call is call
        gate = gate_named(plan.gates, "pitch", THIRD)
        assert "saddle" in gate.reason
        assert "explains it" not in gate.why


def test_cents_only_add_to_what_touch_says() -> None:
    """A leaf under the target that slides free leaves the height open: however well sharp notes fit
    a high string, it is read first; a leaf as thick as the target is enough."""
    sharp = cents_by_fret(THIRD, {1: 14, 2: 11, 3: 9})
    under = plan_of(*touches("0.016 in", "none", strings=(THIRD,)), *sharp)
    assert call_of(under).call is CallKind.READ_AGAIN
    over = plan_of(*touches("0.024 in", "none", strings=(THIRD,)), *sharp)
    assert call_of(over).call is CallKind.LOWER


def test_fret_twelve_alone_speaks_of_the_saddle() -> None:
    """With no leaf yet it is the saddle that is named, and no cut is possible."""
    gate = pitch_gate(*cents_by_fret(THIRD, {12: 18}))
    assert (gate.state, gate.reason) == (GateState.OPEN, "saddle first")
    assert CallKind.LOWER in gate.forbids


def test_one_string_off_is_the_string() -> None:
    """A third string 25 cents sharp between two that are not, all at one height: it is not filed,
    and it is named."""
    level = touches("0.030 in", "light", strings=(2, 3, 4))
    cents = [*cents_by_fret(2, {1: 5}), *cents_by_fret(3, {1: 30}), *cents_by_fret(4, {1: 4})]
    plan = plan_of(*level, *cents)
    call = call_of(plan)
    assert (call.call, call.reason) == (CallKind.CHECK_FIRST, "one off in pitch")
    gate = gate_named(plan.gates, "pitch", THIRD)
    assert CallKind.LOWER in gate.forbids
    assert call_of(plan, 2).call is CallKind.LOWER


def test_all_sharp_alike_is_none_of_them_off() -> None:
    """Where the neighbours are as sharp, no one string is to blame."""
    level = touches("0.018 in", "light", strings=(2, 3, 4))
    cents = [reading for s in (2, 3, 4) for reading in cents_by_fret(s, {1: 30})]
    assert all(gate.reason != "one off in pitch" for gate in plan_of(*level, *cents).gates)


def pressed(soft: float | None, hard: float) -> list[dict[str, Any]]:
    """The first fret of the third string under a soft finger, where it was so read, and a hard."""
    note = {"string": THIRD, "fret": 1}
    softly = [] if soft is None else [note | {"cents": soft, "press": "soft"}]
    return [*softly, note | {"cents": hard, "press": "hard"}]


def test_sharp_only_under_a_hard_finger_is_no_slot() -> None:
    """On target, +3 soft and +22 hard: left alone, and the difference is said."""
    plan = plan_of(*touches("0.018 in", "light", strings=(THIRD,)), *pressed(3, 22))
    assert call_of(plan).call is CallKind.LEAVE
    assert any("19" in caution and "finger" in caution for caution in plan.cautions)


def test_a_hard_finger_alone_tells_nothing() -> None:
    """The same note under a soft finger is asked for; the height is not moved by it."""
    leaf = touches("0.030 in", "light", strings=(THIRD,))
    gate = pitch_gate(*leaf, *pressed(None, 40))
    assert (gate.state, gate.reason) == (GateState.OPEN, "read under a hard finger only")
    with_it, without = plan_of(*leaf, *pressed(None, 40)), plan_of(*leaf)
    assert call_of(with_it).clearance_mm == call_of(without).clearance_mm
    assert call_of(with_it).call is CallKind.CHECK_FIRST
