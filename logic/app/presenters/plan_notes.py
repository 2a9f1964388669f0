"""What stands beside the calls of a plan: tonight's steps, what was found, what is open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.checks.answered import found_beside, gate_notes
from logic.bench.plan.plan import JobPlan
from shared.job import Gate, GateState
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.tonight import TonightStep


@dataclass(frozen=True)
class PlanNotes:
    """Lines beside the calls, each said in one place only."""

    tonight: tuple[str, ...]
    """What can be undone comes first, if it plays tonight."""
    never: tuple[str, ...]
    found: tuple[str, ...]
    """What answers and readings concluded."""
    open: tuple[str, ...]
    """What is still to answer, and what does not fit together."""
    skipped: tuple[str, ...]
    """What was taken as right because nobody answered."""
    advice: str
    cautions: tuple[str, ...]


def plan_notes(job_plan: JobPlan) -> PlanNotes:
    """The lines beside the calls."""
    plan, hurry = job_plan.plan, job_plan.tonight
    gates, calls = plan.gates, plan.strings
    steps, never = (hurry.steps, hurry.never) if hurry else ((), ())
    elsewhere = (*gate_notes(gates, calls), *never)
    failed = (gate.why for gate in gates if gate.state is GateState.FAILED)

    def said(*lines: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(lines))

    return PlanNotes(
        tonight=said(*map(_step_in_words, steps)),
        never=said(*never),
        found=said(*failed, *found_beside(gates, calls)),
        open=said(*(_open_in_words(gate) for gate in gates if gate.state is GateState.OPEN)),
        skipped=said(*(gate.ask for gate in gates if gate.state is GateState.SKIPPED)),
        advice=job_plan.nut_advice,
        cautions=said(*(line for line in plan.cautions if line not in elsewhere)),
    )


def _step_in_words(step: TonightStep) -> str:
    if not step.undo:
        return say(step.do)
    return say("{step} To undo: {undo}.", step=say(step.do), undo=say(step.undo))


def _open_in_words(gate: Gate) -> str:
    """What was found to be in doubt; else the question itself."""
    return gate.ask if gate.lacks else gate.why
