"""How much an answer is expected to tell about the call, before it is given.

The causes that the complaints suggest are weighed (`assets/causes.json`), each answer that was
given multiplies the weights by how likely it is under each cause, and a question is worth the bits
by which it is expected to lower the entropy of what is to be done (Shannon 1948).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from functools import lru_cache
from math import log2
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from logic.bench.tables.causes import CauseTable, PossibleCause

Answered = tuple[tuple[str, str], ...]
"""Rules with the option that was answered."""


@lru_cache(maxsize=512)
def expected_bits(
    rule: str, complaints: tuple[str, ...], answered: Answered, table: CauseTable
) -> float:
    """The bits that the answer to `rule` is expected to tell of the call; 0 where no cause is
    known to show in it."""
    usual = table.usual.answers.get(rule)
    if usual is None:
        return 0.0
    weights = belief(complaints, answered, table)
    after = 0.0
    for option in usual:
        likely = [
            weight * _chance(cause, rule, option, table)
            for cause, weight in zip(table.causes, weights, strict=True)
        ]
        after += sum(likely) * _entropy(_by_call(likely, table))
    return max(_entropy(_by_call(weights, table)) - after, 0.0)


def bits_for_the_effort(bits: float, rule: str, table: CauseTable) -> float:
    """The bits that one unit of effort brings: what is only said comes before what is measured."""
    return bits / table.usual.effort.get(rule, 1.0)


@lru_cache(maxsize=64)
def belief(complaints: tuple[str, ...], answered: Answered, table: CauseTable) -> tuple[float, ...]:
    """How probable each cause of the table is, after these complaints and answers."""
    weights = [_prior(cause, complaints, table) for cause in table.causes]
    for rule, option in answered:
        weights = [
            weight * _chance(cause, rule, option, table)
            for cause, weight in zip(table.causes, weights, strict=True)
        ]
    whole = sum(weights)
    return tuple(weight / whole for weight in weights)


def _prior(cause: PossibleCause, complaints: tuple[str, ...], table: CauseTable) -> float:
    said = complaints or ("check",)
    return sum(cause.often.get(complaint, table.elsewhere) for complaint in said)


def _chance(cause: PossibleCause, rule: str, option: str, table: CauseTable) -> float:
    """How likely an answer is under a cause; an answer of which nothing is known tells nothing."""
    chances = cause.shows.get(rule) or table.usual.answers.get(rule, {})
    return chances.get(option, 1.0)


def _by_call(weights: Iterable[float], table: CauseTable) -> tuple[float, ...]:
    calls: dict[str, float] = defaultdict(float)
    for cause, weight in zip(table.causes, weights, strict=True):
        calls[cause.calls_for] += weight
    return tuple(calls.values())


def _entropy(weights: tuple[float, ...]) -> float:
    """In bits, of weights that need not add up to one."""
    whole = sum(weights)
    return -sum(w / whole * log2(w / whole) for w in weights if w > 0) if whole > 0 else 0.0
