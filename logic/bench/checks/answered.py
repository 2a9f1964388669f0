"""The job with what was answered written into its instrument, and what the gates leave to say."""

from __future__ import annotations

from typing import Any

from logic.bench.checks.reasons import check_said
from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.saddle_height import action_listed
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument, NutType
from shared.job import Gate, GateState, Job, StringCall
from shared.units import Length
from shared.words import say


def as_answered(job: Job, trade: TradeTables) -> Job:
    """`job` with instrument and buzzes as the answers have them: windows, raising and layout then
    follow what was said at the bench, not only what was listed."""
    return answered_in(RuleContext(job, trade))


def answered_in(context: RuleContext) -> Job:
    """The same of a job that the rules look at already."""
    job = context.job
    answered: dict[str, Any] = {"fretted": context.fretted, "nut": _nut(context)}
    relief = _relief(context)
    if relief is not None:
        answered["relief"] = relief
    if context.measured.action:
        answered["action_12"] = action_listed(context)
    instrument: Instrument = job.instrument.model_copy(update=answered)
    return job.model_copy(update={"instrument": instrument, "readings": context.readings})


def relief_of(job: Job, trade: TradeTables) -> Length | None:
    """The relief that was measured, listed, or answered; None where nobody gave a figure."""
    return _relief(RuleContext(job, trade))


def action_of(job: Job, trade: TradeTables) -> Length | None:
    """The action an octave up that was answered; None where nobody gave a figure."""
    return _length(RuleContext(job, trade), "action")


def _relief(context: RuleContext) -> Length | None:
    return context.measured.relief or context.job.instrument.relief or _length(context, "relief")


def _nut(context: RuleContext) -> Any:
    nut = context.job.instrument.nut
    answered: dict[str, Any] = {"type": NutType(context.nut_type)}
    if context.answered_option("valuable") in ("yes", "consent"):
        answered["original"] = True
    if context.answered_option("glued") == "yes":
        answered["glued"] = True
    shim = _length(context, "shim")
    if shim is not None:
        answered["shim"] = shim
    return nut.model_copy(update=answered)


def _length(context: RuleContext, gate: str) -> Length | None:
    """A length that was answered for the whole instrument."""
    answer = context.answers(context.rule_set.rule(gate)).get(None)
    return answer if isinstance(answer, Length) else None


def gate_notes(gates: tuple[Gate, ...], calls: tuple[StringCall, ...]) -> tuple[str, ...]:
    """What the gates leave to say beside the calls: findings that impose nothing and no call tells,
    and one line for everything that was taken as right because nobody answered."""
    taken = taken_as_right(gates)
    return (*found_beside(gates, calls), *([taken] if taken else []))


def taken_as_right(gates: tuple[Gate, ...]) -> str:
    """Everything that nobody answered and that bars nothing, in a line; empty where all was
    answered."""
    unasked = [
        check_said(gate.gate)
        for gate in gates
        if gate.state is GateState.SKIPPED and not gate.forbids
    ]
    names = ", ".join(dict.fromkeys(unasked))
    return say("Taken as right, as nobody answered: {names}.", names=names) if names else ""


def found_beside(gates: tuple[Gate, ...], calls: tuple[StringCall, ...]) -> tuple[str, ...]:
    """What was found that imposes no call and that no call tells."""
    in_calls = {call.why for call in calls}
    noted = (
        gate.why
        for gate in gates
        if gate.reason and not gate.imposes and gate.state in _ANSWERED and gate.why not in in_calls
    )
    return tuple(dict.fromkeys(noted))


_ANSWERED = (GateState.PASSED, GateState.FAILED)
