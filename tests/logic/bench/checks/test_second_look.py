"""What a cut rests on is looked at twice before the first file."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.checks.gates import evaluate_gates
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, job_with, mm, number
from shared.job import IRREVERSIBLE, CallKind, GateState, Job, Plan
from shared.reasons import CallReason, GateReason
from shared.units import Length

LOOKED = {"nut_type": "slotted", "relief": "0.25 mm", "frets": "ok", "seated": "yes"}
ONE_HIGH = (0.50, 0.50, 0.47, 0.85, 0.42, 0.41)
"""Clearances from string 6 to string 1, with one slot that stands too high."""
ALL_HIGH = tuple(each + 0.16 for each in (0.52, 0.52, 0.50, 0.50, 0.46, 0.46))


def planned(heights: tuple[float, ...], checks: dict[str, Any], **said: Any) -> tuple[Job, Plan]:
    """A guitar of these clearances, and its plan."""
    made = job_with("electric guitar", checks=checks)
    readings = tuple(number(mm(each), 6 - place) for place, each in enumerate(heights))
    made = made.model_copy(update={"readings": readings, **said})
    return made, make_plan(made, TRADE)


def owed(plan: Plan) -> list[str]:
    """The checks that wait for a second look."""
    return [look.check for look in plan.before_the_file]


def test_a_cut_names_what_to_look_at_once_more() -> None:
    """The call stays, every answer it rests on is named, and it is no surer than those answers."""
    _, plan = planned(ONE_HIGH, LOOKED)
    cut = next(call for call in plan.strings if call.call is CallKind.LOWER)
    assert set(LOOKED) <= set(owed(plan))
    assert all(look.answered for look in plan.before_the_file if look.check in LOOKED)
    _, again = planned(ONE_HIGH, LOOKED, looked_again=LOOKED)
    sure = next(call for call in again.strings if call.call is CallKind.LOWER)
    assert not set(owed(again)) & set(LOOKED)
    assert sure.confidence > cut.confidence


def test_where_nothing_is_cut_nothing_is_looked_at_twice() -> None:
    """A second look is owed to a file, and to nothing else."""
    _, plan = planned((0.50, 0.50, 0.47, 0.47, 0.42, 0.41), LOOKED)
    assert not any(call.call in IRREVERSIBLE for call in plan.strings)
    assert plan.before_the_file == ()


@pytest.mark.parametrize(
    ("check", "other"),
    [
        ("relief", "0.6 mm"),
        ("frets", {"3": "bad"}),
        ("nut_type", "zero fret"),
        ("seated", {"3": "no"}),
    ],
)
def test_two_looks_that_differ_never_cut(check: str, other: Any) -> None:
    """Of two answers one is wrong, and nobody knows which: look a third time."""
    made, plan = planned(ONE_HIGH, LOOKED, looked_again={**LOOKED, check: other})
    call = next(call for call in plan.strings if call.string == 3)
    assert (call.call, call.reason) == (CallKind.CHECK_FIRST, GateReason.AT_ODDS)
    gates = [gate for gate in evaluate_gates(made, TRADE) if gate.gate == check]
    assert any(gate.state is GateState.OPEN for gate in gates)


@pytest.mark.parametrize("said", ["not sure", "skipped"])
def test_a_second_look_that_says_nothing_confirms_nothing(said: str) -> None:
    """It stays owed, and changes no call."""
    _, before = planned(ONE_HIGH, LOOKED)
    _, plan = planned(ONE_HIGH, LOOKED, looked_again={"relief": said})
    assert owed(plan) == owed(before)
    assert [call.call for call in plan.strings] == [call.call for call in before.strings]


def test_a_second_look_alone_counts_as_the_first() -> None:
    """Whoever answers only there has looked once, and a fault seen there bars like any other."""
    _, plan = planned(ONE_HIGH, {"frets": "ok"}, looked_again={"relief": "0.6 mm"})
    assert not any(call.call in IRREVERSIBLE for call in plan.strings)


def test_one_high_slot_asks_for_no_saddle_and_no_shim() -> None:
    """What would lift every string lifts no single one; strings that stand high together ask for
    the action, first and again."""
    assert not {"action", "shim"} & set(owed(planned(ONE_HIGH, LOOKED)[1]))
    together = planned(ALL_HIGH, LOOKED | {"shim": "no"}, to_my_target=False, complaint="stiff")
    looks = {look.check: look for look in together[1].before_the_file}
    assert {"action", "shim"} <= set(looks)
    assert not looks["action"].answered


def test_a_professional_is_asked_less() -> None:
    """Who asked for the targets is asked again only what must have passed in any case, and of a
    height that was read once."""
    _, plan = planned(ONE_HIGH, LOOKED, to_my_target=True)
    assert set(owed(plan)) <= {"relief", "frets", "clearance"}


def test_what_a_high_saddle_adds_is_not_cut_away() -> None:
    """Strings that stand high together by what the action over fret 12 explains wait for the
    saddle; with the action as usual they are lowered, and one that stands high by more is too."""
    checks = LOOKED | {"shim": "no"}
    said = {"complaint": "stiff near the nut"}
    lowered = [c.call for c in planned(ALL_HIGH, checks | {"action": "2.0 mm"}, **said)[1].strings]
    assert CallKind.LOWER in lowered
    _, plan = planned(ALL_HIGH, checks | {"action": "3.6 mm"}, **said)
    waiting = [call for call in plan.strings if call.reason == CallReason.SADDLE_FIRST]
    assert waiting
    assert not any(call.call is CallKind.LOWER for call in plan.strings)
    higher = (*ALL_HIGH[:3], ALL_HIGH[3] + 0.2, *ALL_HIGH[4:])
    _, plan = planned(higher, checks | {"action": "3.6 mm"}, **said)
    assert [c.string for c in plan.strings if c.call is CallKind.LOWER] == [3]


def test_an_action_that_was_only_filled_in_was_not_measured() -> None:
    """A figure of the kind is no figure of this instrument."""
    made, plan = planned(ALL_HIGH, LOOKED | {"shim": "no"}, complaint="stiff near the nut")
    assert made.instrument.action_12
    assert any(look.check == "action" and not look.answered for look in plan.before_the_file)
    own = {6: Length.parse("2.1 mm"), 1: Length.parse("1.6 mm")}
    measured = made.instrument.model_copy(update={"action_12": own})
    plan = make_plan(made.model_copy(update={"instrument": measured}), TRADE)
    assert all(look.answered for look in plan.before_the_file if look.check == "action")
