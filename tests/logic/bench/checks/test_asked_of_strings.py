"""What was said of one string opens no question of another."""

from __future__ import annotations

from typing import Any

from logic.bench.checks.gates import evaluate_gates, next_questions
from logic.bench.plan.plan import make_plan
from logic.testing import LOOKED_AT, TRADE, job
from shared.job import CallKind, GateState

PINGS_AND_STIFF = [
    {"is": "pings", "strings": [6]},
    {"is": "stiff near the nut", "strings": [1]},
]
HIGH = [{"string": 1, "clearance": "0.75 mm", "buzz": "none"}]


def asked_of(gate: str, **parts: Any) -> tuple[int, ...]:
    """The strings that a question is about; none where it is not asked."""
    asked = {one.gate: one.strings for one in next_questions(job(**parts), TRADE)}
    return asked.get(gate, ())


def test_a_question_is_about_the_strings_that_its_complaint_named() -> None:
    """Binding was said of the sixth: it alone is asked about, and it alone waits."""
    assert asked_of("ping", complaints=PINGS_AND_STIFF, readings=HIGH) == (6,)
    gates = evaluate_gates(job(complaints=PINGS_AND_STIFF), TRADE)
    open_gates = [gate for gate in gates if gate.gate == "ping"]
    assert [(gate.state, gate.strings) for gate in open_gates] == [(GateState.OPEN, (6,))]


def test_a_complaint_of_no_string_in_particular_asks_about_all() -> None:
    """Nobody said which string binds, so each may."""
    assert asked_of("ping", complaints=[{"is": "pings"}]) == (6, 5, 4, 3, 2, 1)


def test_an_answer_for_one_string_opens_the_next_question_for_it() -> None:
    """A string that jumps out has its angle and its depth looked at, and no other has."""
    checks = {"jumps_out": {"2": "yes"}}
    assert asked_of("break_angle", checks=checks, readings=HIGH) == (2,)


def test_the_careful_questions_are_asked_of_every_string() -> None:
    """Frets 1 to 3 lie under all of them, whatever was said of one."""
    assert asked_of("frets", complaints=PINGS_AND_STIFF) == (6, 5, 4, 3, 2, 1)


def test_one_string_that_binds_does_not_hold_another_back() -> None:
    """The first is lowered while the sixth waits for an answer."""
    made = job(complaints=PINGS_AND_STIFF, readings=HIGH, checks=LOOKED_AT | {"seated": "yes"})
    calls = {call.string: call.call for call in make_plan(made, TRADE).strings}
    assert calls[1] is CallKind.LOWER
    assert calls[6] is not CallKind.LOWER
