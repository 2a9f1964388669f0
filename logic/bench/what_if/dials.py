"""Turning one thing about an instrument by a step, to see what would follow."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from fractions import Fraction

from logic.bench.checks.answered import relief_of
from logic.bench.instrument.changes import Changes
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.what_if.dial import Dial
from logic.bench.what_if.what_if import what_if, windows_if
from shared.errors import PitchError
from shared.instrument import MOST_BUDGET_CENTS, Attack
from shared.job import Job
from shared.units import Length

RELIEF_STEP = Length.parse("0.05 mm")
GAUGE_STEP = Length.parse("0.001 in")
TARGET_STEP = Length.parse("0.001 in")
_ATTACKS = tuple(Attack)


def turned(
    job: Job, changes: Changes, dial: Dial, steps: int, strings: Iterable[int], trade: TradeTables
) -> Changes:
    """`changes` with one dial turned by so many steps, for these strings where it is theirs.

    A step is one attack, 0.05 mm of relief, a semitone, a thousandth of an inch, or a cent. What
    would leave the possible stays where it is; what is back at the record is changed no more.
    """
    turned_to = _TURNS[dial](job, changes, steps, tuple(strings), trade)
    return _without_the_recorded(job, turned_to, trade)


def _without_the_recorded(job: Job, changes: Changes, trade: TradeTables) -> Changes:
    spec = job.instrument.spec
    return replace(
        changes,
        attack=None if changes.attack is job.player.attack else changes.attack,
        relief=None if changes.relief == relief_of(job, trade) else changes.relief,
        pitches={s: pitch for s, pitch in changes.pitches.items() if pitch != spec(s).pitch},
        gauges={s: gauge for s, gauge in changes.gauges.items() if gauge != spec(s).gauge},
    )


def _attack(job: Job, changes: Changes, steps: int, _: tuple[int, ...], __: TradeTables) -> Changes:
    now = _ATTACKS.index(changes.attack or job.player.attack)
    return replace(changes, attack=_ATTACKS[max(0, min(len(_ATTACKS) - 1, now + steps))])


def _relief(
    job: Job, changes: Changes, steps: int, _: tuple[int, ...], trade: TradeTables
) -> Changes:
    usual = trade.relief.of(job.instrument.kind).usual
    now = changes.relief or relief_of(job, trade) or usual
    exact = now.exact_mm + steps * RELIEF_STEP.exact_mm
    return replace(changes, relief=Length(max(exact, Fraction(0))))


def _tuning(
    job: Job, changes: Changes, steps: int, strings: tuple[int, ...], trade: TradeTables
) -> Changes:
    would_be = what_if(job, changes, trade).instrument
    try:
        pitches = {s: would_be.spec(s).pitch.moved(steps) for s in strings}
    except PitchError:
        return changes  # no string sounds there
    return replace(changes, pitches={**changes.pitches, **pitches})


def _gauge(
    job: Job, changes: Changes, steps: int, strings: tuple[int, ...], trade: TradeTables
) -> Changes:
    would_be = what_if(job, changes, trade).instrument
    gauges = {s: _stepped(would_be.spec(s).gauge, steps, GAUGE_STEP) for s in strings}
    return replace(changes, gauges={**changes.gauges, **gauges})


def _target(
    job: Job, changes: Changes, steps: int, strings: tuple[int, ...], trade: TradeTables
) -> Changes:
    now = windows_if(job, changes, trade)
    targets = {
        s: _stepped(
            changes.targets.get(s) or job.player.targets.get(s) or Length.of(now[s].target_mm),
            steps,
            TARGET_STEP,
        )
        for s in strings
    }
    return replace(changes, targets={**changes.targets, **targets})


def _budget(
    job: Job, changes: Changes, steps: int, _: tuple[int, ...], trade: TradeTables
) -> Changes:
    now = changes.budget_cents or accepted_cents(job, trade)
    return replace(changes, budget_cents=max(1.0, min(MOST_BUDGET_CENTS, now + steps)))


def accepted_cents(job: Job, trade: TradeTables) -> float:
    """How sharp fret 1 may be at the most: the player's own budget, else the table's."""
    return job.player.budget_cents or trade.attack.budget.most_cents


def _stepped(length: Length, steps: int, step: Length) -> Length:
    """`length` by so many steps, never below one step."""
    return Length(max(length.exact_mm + steps * step.exact_mm, step.exact_mm), length.unit)


_TURNS: dict[Dial, Callable[[Job, Changes, int, tuple[int, ...], TradeTables], Changes]] = {
    Dial.ATTACK: _attack,
    Dial.RELIEF: _relief,
    Dial.TUNING: _tuning,
    Dial.GAUGE: _gauge,
    Dial.TARGET: _target,
    Dial.BUDGET: _budget,
}
