"""At the side of a stage: what can be undone comes first, and what is never done in a hurry.

The steps are a part of the plan beside the advice for the whole nut; `joined` puts the two into one
line, where a plan has only one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import WholeNut
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
    in_minutes: bool = False
    """Whether there is no time for the bench before it plays."""


@dataclass(frozen=True)
class TonightSigns:
    """What a step of the table can be offered for, or left out beside."""

    calls: frozenset[CallKind] = frozenset()
    gates: frozenset[str] = frozenset()
    """Those that have failed."""
    reasons: frozenset[str] = frozenset()
    """Of the checks, whether they have passed or failed."""
    ways: frozenset[str] = frozenset()
    """Those that are offered for the whole nut."""


HURRY_REASONS = (GateReason.PLAYS_TONIGHT, GateReason.NEVER_IN_A_HURRY)
"""Reasons of the time gate that mean somebody is waiting."""


def in_a_hurry(gates: tuple[Gate, ...]) -> bool:
    """Whether it plays tonight, as answered."""
    return any(gate.gate == "time" and gate.reason in HURRY_REASONS for gate in gates)


def tonight(nut: NutEvidence, found: WholeNut) -> Tonight | None:
    """The reversible steps that fit this plan and the time there is, in the table's order, and what
    never to do; None where nobody waits for it."""
    if not in_a_hurry(nut.gates):
        return None
    steps = steps_for(_signs(nut, found), nut.trade)
    if nut.in_minutes:
        most = nut.trade.raising.minutes_at_hand
        steps = tuple(step for step in steps if step.minutes < most)
    return Tonight(steps, never(nut.trade), nut.in_minutes)


def steps_for(signs: TonightSigns, trade: TradeTables) -> tuple[TonightStep, ...]:
    """The reversible steps for these signs, in the table's order."""
    beside = signs.reasons | {kind.value for kind in signs.calls}
    return tuple(
        step
        for step in trade.tonight.first
        if _helps(step, signs) and not beside & set(step.unless)
    )


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
    if hurry.in_minutes:
        return f"{say('Tonight: {steps}', steps=steps)} {advice}"
    return f"{say('Tonight: {steps} Then, at the bench:', steps=steps)} {advice}"


def _helps(step: TonightStep, signs: TonightSigns) -> bool:
    return bool(
        signs.calls & set(step.calls)
        or signs.gates & set(step.gates)
        or signs.reasons & set(step.reasons)
        or step.way in signs.ways
    )


def _signs(nut: NutEvidence, found: WholeNut) -> TonightSigns:
    failed = {gate.gate for gate in nut.gates if gate.state is GateState.FAILED}
    return TonightSigns(
        calls=frozenset(_kinds(nut)),
        gates=frozenset(failed),
        reasons=frozenset(gate.reason for gate in nut.gates if gate.reason),
        ways=frozenset(option.method for option in found.options),
    )


def _kinds(nut: NutEvidence) -> Iterator[CallKind]:
    """What the calls say, and what they would say of a height that only waits; of a slot whose wall
    is gone nothing, as nothing laid into it stays there."""
    broken = set(nut.failed("slot_wall"))
    for call in nut.calls:
        if call.string not in broken:
            yield call.call
            yield from _waiting(call, nut)


def _waiting(call: StringCall, nut: NutEvidence) -> Iterator[CallKind]:
    """The call on height alone, where no check denies it but time, the neck or the part's worth."""
    table = nut.trade.raising
    mere = {"time", "shim", *table.about_the_neck.checks, *table.before_the_base.checks}
    for kind in (CallKind.RAISE, CallKind.LOWER):
        if nut.waits(call, kind, frozenset(mere)):
            yield kind
