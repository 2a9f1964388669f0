"""At the side of a stage: what can be undone comes first, and what is never done in a hurry."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass

from pydantic import TypeAdapter

from logic.bench.checks.rule_set import Row
from logic.bench.tables.trade_tables import TradeTables
from shared.job import CallKind, Gate, GateState, NutAdvice, StringCall
from shared.words import say


class TonightStep(Row):
    """Something that can be undone."""

    id: str
    calls: tuple[CallKind, ...]
    gates: tuple[str, ...]
    do: str
    undo: str
    source: str


class Never(Row):
    """Something that is not done in a hurry."""

    say: str
    source: str


@dataclass(frozen=True)
class Tonight:
    """What to do before it plays, and what to leave for the bench."""

    steps: tuple[TonightStep, ...]
    never: tuple[str, ...]


_STEPS = TypeAdapter(tuple[TonightStep, ...])
_NEVER = TypeAdapter(tuple[Never, ...])
HURRIED = ("plays tonight", "never cut in a hurry")
"""Reasons of the time gate that mean somebody is waiting."""


def in_a_hurry(gates: tuple[Gate, ...]) -> bool:
    """Whether it plays tonight, as answered."""
    return any(gate.gate == "time" and gate.reason in HURRIED for gate in gates)


def tonight(calls: tuple[StringCall, ...], gates: tuple[Gate, ...], trade: TradeTables) -> Tonight:
    """The reversible steps that fit this plan, in the table's order, and what never to do."""
    broken = {gate.reason for gate in gates if gate.imposes is CallKind.RAISE}
    kinds = {
        CallKind.LOWER if call.reason == HURRIED[1] else call.call
        for call in calls
        if call.reason not in broken  # nothing laid into such a slot stays there
    }
    failed = {gate.gate for gate in gates if gate.state is GateState.FAILED}
    return Tonight(steps_for(kinds, failed, trade), never(trade))


def steps_for(
    kinds: Set[CallKind], failed: Set[str], trade: TradeTables
) -> tuple[TonightStep, ...]:
    """The reversible steps for these calls and failed gates, in the table's order."""
    steps = _STEPS.validate_python(trade.tables["tonight"]["first"])
    return tuple(step for step in steps if kinds & set(step.calls) or failed & set(step.gates))


def never(trade: TradeTables) -> tuple[str, ...]:
    """What is not done in a hurry."""
    return tuple(say(row.say) for row in _NEVER.validate_python(trade.tables["tonight"]["never"]))


def hurried(
    nut: NutAdvice, calls: tuple[StringCall, ...], gates: tuple[Gate, ...], trade: TradeTables
) -> NutAdvice:
    """The advice for the whole nut with tonight's steps in front, if it plays tonight."""
    advice = f"{hurry_words(calls, gates, trade)} {nut.advice}".strip()
    return nut.model_copy(update={"advice": advice})


def hurry_words(calls: tuple[StringCall, ...], gates: tuple[Gate, ...], trade: TradeTables) -> str:
    """Tonight's steps in a line; empty where nobody waits."""
    if not in_a_hurry(gates):
        return ""
    steps = " ".join(say(step.do) for step in tonight(calls, gates, trade).steps)
    if not steps:
        return say("Tonight: play it as it is.")
    return say("Tonight: {steps} Then, at the bench:", steps=steps)


def never_tonight(gates: tuple[Gate, ...], trade: TradeTables) -> tuple[str, ...]:
    """What is never done in a hurry, if somebody is waiting."""
    return tonight((), gates, trade).never if in_a_hurry(gates) else ()
