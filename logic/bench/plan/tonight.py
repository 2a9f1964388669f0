"""At the side of a stage: what can be undone comes first, and what is never done in a hurry.

The steps are a part of the plan beside the advice for the whole nut; `joined` puts the two into one
line, where a plan has only one.
"""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.tables.trade_tables import TradeTables
from shared.job import CallKind, Gate, GateState, StringCall
from shared.reasons import GateReason
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.tonight import TonightStep


@dataclass(frozen=True)
class Tonight:
    """What to do before it plays, and what to leave for the bench."""

    steps: tuple[TonightStep, ...]
    never: tuple[str, ...]


HURRY_REASONS = (GateReason.PLAYS_TONIGHT, GateReason.NEVER_IN_A_HURRY)
"""Reasons of the time gate that mean somebody is waiting."""


def in_a_hurry(gates: tuple[Gate, ...]) -> bool:
    """Whether it plays tonight, as answered."""
    return any(gate.gate == "time" and gate.reason in HURRY_REASONS for gate in gates)


def tonight(
    calls: tuple[StringCall, ...], gates: tuple[Gate, ...], trade: TradeTables
) -> Tonight | None:
    """The reversible steps that fit this plan, in the table's order, and what never to do; None
    where nobody waits for it."""
    if not in_a_hurry(gates):
        return None
    broken = {gate.reason for gate in gates if gate.imposes is CallKind.RAISE}
    kinds = {
        CallKind.LOWER if call.reason == GateReason.NEVER_IN_A_HURRY else call.call
        for call in calls
        if call.reason not in broken  # nothing laid into such a slot stays there
    }
    failed = {gate.gate for gate in gates if gate.state is GateState.FAILED}
    return Tonight(steps_for(kinds, failed, trade), never(trade))


def steps_for(
    kinds: Set[CallKind], failed: Set[str], trade: TradeTables
) -> tuple[TonightStep, ...]:
    """The reversible steps for these calls and failed gates, in the table's order."""
    steps = trade.tonight.first
    return tuple(step for step in steps if kinds & set(step.calls) or failed & set(step.gates))


def never(trade: TradeTables) -> tuple[str, ...]:
    """What is not done in a hurry, in words."""
    return tuple(say(row.say) for row in trade.tonight.never)


def joined(hurry: Tonight | None, advice: str) -> str:
    """Tonight's steps in front of the advice for the bench, as one line; the advice alone where
    nobody waits."""
    if hurry is None:
        return advice
    if not hurry.steps:
        return f"{say('Tonight: play it as it is.')} {advice}"
    steps = " ".join(say(step.do) for step in hurry.steps)
    return f"{say('Tonight: {steps} Then, at the bench:', steps=steps)} {advice}"
