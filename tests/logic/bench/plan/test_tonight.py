"""At the side of a stage: what can be undone first, and what is never done in a hurry."""

from __future__ import annotations

import pytest

from logic.bench.checks.gates import evaluate_gates
from logic.bench.plan.plan import make_plan
from logic.bench.plan.tonight import in_a_hurry, tonight
from logic.testing import LOOKED_AT, TRADE, job, touches
from shared.job import CallKind, Job


def steps(made: Job) -> list[str]:
    """The reversible steps of a job."""
    plan = make_plan(made, TRADE)
    hurry = tonight(plan.strings, plan.gates, TRADE)
    return [step.id for step in hurry.steps] if hurry else []


def test_a_broken_wall_gets_a_capo_or_a_spare() -> None:
    """No repair in the moment: capo or spare, the nut later (common practice, no source)."""
    made = job(checks={"slot_wall": {"1": "broken"}, "time": "tonight"})
    plan = make_plan(made, TRADE)
    assert {"spare", "capo"} <= set(steps(made))
    assert "paper" not in steps(made)
    assert plan.nut.advice.startswith("Tonight: ")
    assert any(caution.startswith("In a hurry never cut") for caution in plan.cautions)


@pytest.mark.parametrize("answer", ["minutes", "now", "20", "20 minutes"])
def test_with_minutes_left_nothing_is_cut(answer: str) -> None:
    """High strings stay as they are until there is a bench under them."""
    made = job(readings=touches("0.030 in", "none"), checks=LOOKED_AT | {"time": answer})
    plan = make_plan(made, TRADE)
    assert {call.call for call in plan.strings} == {CallKind.CHECK_FIRST}
    assert steps(made) == ["retune"]


def test_a_low_string_gets_paper() -> None:
    """Paper or foil under a buzzing string comes out again."""
    checks = LOOKED_AT | {"time": "tonight"}
    made = job(readings=touches("0.006 in", "heavy", "soft", (6,)), checks=checks)
    assert "paper" in steps(made)


@pytest.mark.parametrize("checks", [{}, {"time": "no hurry"}, {"time": "next week"}])
def test_with_time_nothing_is_said_of_tonight(checks: dict[str, str]) -> None:
    """No hurry, no makeshifts."""
    made = job(readings=touches("0.030 in", "none"), checks=checks)
    plan = make_plan(made, TRADE)
    assert not in_a_hurry(evaluate_gates(made, TRADE))
    assert tonight(plan.strings, plan.gates, TRADE) is None
    assert "Tonight" not in plan.nut.advice
    assert not any("hurry" in caution for caution in plan.cautions)


def test_every_step_can_be_undone() -> None:
    """Each makeshift says how it is taken back, and where it comes from; only what leaves the
    instrument as it should be anyway says nothing."""
    rows = TRADE.tonight.first
    assert {row.id for row in rows if not row.undo} == {"spare", "new string", "free it"}
    for row in rows:
        assert row.source
        assert "file" not in row.do.split()
