"""At the side of a stage: what can be undone first, and what is never done in a hurry."""

from __future__ import annotations

import pytest

from logic.bench.checks.gates import evaluate_gates
from logic.bench.plan.plan import JobPlan, job_context, make_plan, plan_from, state_in
from logic.bench.plan.tonight import TonightSigns, in_a_hurry, steps_for
from logic.testing import TRADE, job, touches
from shared.job import CallKind, Job

KNOWN = {"relief": "ok", "frets": "ok"}


def planned(made: Job) -> JobPlan:
    """The plan of a job with its parts."""
    context = job_context(made, TRADE)
    calls = tuple(state_in(context, spec.string).call for spec in made.instrument.strings)
    return plan_from(context, calls)


def steps(made: Job) -> list[str]:
    """The reversible steps of a job."""
    hurry = planned(made).tonight
    return [step.id for step in hurry.steps] if hurry else []


def low(time: str, strings: tuple[int, ...] = (6,), **checks: str) -> Job:
    """A guitar with these strings low and buzzing, that must play so soon."""
    readings = touches("0.006 in", "heavy", "soft", strings)
    return job(readings=readings, checks={"time": time} | checks)


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
    made = job(readings=touches("0.030 in", "none"), checks={"time": answer})
    plan = make_plan(made, TRADE)
    assert {call.call for call in plan.strings} == {CallKind.CHECK_FIRST}
    assert steps(made) == ["retune"]


def test_a_low_string_gets_paper() -> None:
    """Paper or foil under a buzzing string comes out again."""
    assert "paper" in steps(low("tonight", **KNOWN))


@pytest.mark.parametrize("time", ["tonight", "minutes"])
@pytest.mark.parametrize("checks", [{}, KNOWN, {"frets": "ok"}])
def test_the_strip_of_paper_comes_before_the_capo(time: str, checks: dict[str, str]) -> None:
    """One low string: paper under it, then the capo, whether or not the neck has been read; what
    can be undone waits for nothing."""
    found = steps(low(time, **checks))
    assert found[:2] == ["paper", "capo"]


def test_within_minutes_nothing_is_shown_that_takes_a_quarter_of_an_hour() -> None:
    """No fill, shim or new nut stands on the page, and the strip of paper is the way advised."""
    made = low("minutes", (6, 4, 2), **KNOWN)
    plan = make_plan(made, TRADE)
    most = TRADE.raising.minutes_at_hand
    assert all((option.minutes or 0) < most for option in plan.nut.options)
    assert [option.method for option in plan.nut.options if option.recommended] == ["strip"]
    assert "new nut" not in plan.nut.advice and "at the bench:" not in plan.nut.advice
    hurry = planned(made).tonight
    assert hurry and all(step.minutes < most for step in hurry.steps)
    later = make_plan(low("tonight", (6, 4, 2), **KNOWN), TRADE)
    assert [option.method for option in later.nut.options if option.recommended] == ["new nut"]


def test_nothing_is_laid_into_a_clamp_and_no_capo_on_a_bare_board() -> None:
    """A clamp or roller holds no paper; without frets a capo takes no nut out of play."""
    raised = frozenset({CallKind.RAISE})
    clamped = TonightSigns(raised, reasons=frozenset({"moves as one piece on shims"}))
    bare = TonightSigns(raised, reasons=frozenset({"bare board"}))
    assert [step.id for step in steps_for(clamped, TRADE)] == ["capo"]
    assert [step.id for step in steps_for(bare, TRADE)] == ["paper"]


@pytest.mark.parametrize(
    ("reason", "step"),
    [
        ("binds in its slot", "graphite"),
        ("slot too narrow", "graphite"),
        ("string slips", "new string"),
        ("string or saddle, not depth", "new string"),
    ],
)
def test_a_reason_gets_its_own_step(reason: str, step: str) -> None:
    """What binds is rubbed with a pencil, what slips or is a bad string gets another string."""
    assert [row.id for row in steps_for(TonightSigns(reasons=frozenset({reason})), TRADE)] == [step]
    assert [row.id for row in steps_for(TonightSigns(frozenset({CallKind.EASE})), TRADE)] == [
        "graphite"
    ]


def test_a_slot_too_wide_gets_no_pencil() -> None:
    """A loose slot is no slot that binds."""
    assert "graphite" not in steps(job(checks={"slot_width": {"6": "0.08 in"}, "time": "tonight"}))


def test_a_low_neck_is_not_tuned_by_chords() -> None:
    """Strings that buzz because the neck bends back are not tuned flat besides."""
    assert "retune" not in steps(low("tonight", relief="back-bow"))


@pytest.mark.parametrize("checks", [{}, {"time": "no hurry"}, {"time": "next week"}])
def test_with_time_nothing_is_said_of_tonight(checks: dict[str, str]) -> None:
    """No hurry, no makeshifts."""
    made = job(readings=touches("0.030 in", "none"), checks=checks)
    plan = make_plan(made, TRADE)
    assert not in_a_hurry(evaluate_gates(made, TRADE))
    assert planned(made).tonight is None
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
