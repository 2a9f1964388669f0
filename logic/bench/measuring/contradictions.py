"""Answers that cannot both be right are named, not averaged."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import combinations
from operator import mul
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import FretNames
from logic.bench.measuring.grid import Curve, Posterior
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.kinds.kind import HeightGeometry
from logic.bench.measuring.posterior import likelihood, likelihoods
from shared.readings import Reading
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable


@dataclass(frozen=True)
class Contradiction:
    """Two readings of one string that no single clearance explains."""

    earlier: Reading
    later: Reading
    agreement: float
    """Best joint likelihood at any clearance, against each reading's own best; at most 1."""

    def in_words(self, frets: FretNames) -> str:
        """What contradicts what, of a string over frets of these names."""
        one, other = (kind_of(r).sentence(r, frets) for r in (self.earlier, self.later))
        return say("{one}, yet {other}", one=one, other=other)


@dataclass(frozen=True)
class HeightEvidence:
    """One reading that speaks of the height, and its likelihood along the grid; of kinds that
    share an error none, for they are weighed together."""

    reading: Reading
    curve: Curve

    @property
    def question(self) -> Hashable:
        """What was asked: a leaf, a held fret, a fret's cents, a number."""
        return type(self.reading), kind_of(self.reading).question(self.reading)


def height_evidence(
    readings: Iterable[Reading],
    string: int,
    below: float,
    table: ReadingTable,
    geometry: HeightGeometry | None = None,
) -> tuple[HeightEvidence, ...]:
    """The answers that stand for `string`, oldest first.

    A question answered again replaces its earlier answer, for a second touch with one leaf shares
    that leaf's own error. Only where the two contradict do both stand, until one is read again.
    """
    standing: list[HeightEvidence] = []
    for reading in readings:
        if reading.string != string:
            continue
        new = _evidence(reading, table, geometry)
        if new is not None:
            standing = _with(standing, new, below)
    return tuple(standing)


def _evidence(
    reading: Reading, table: ReadingTable, geometry: HeightGeometry | None
) -> HeightEvidence | None:
    kind = kind_of(reading)
    if kind.shares_an_error:
        return HeightEvidence(reading, ()) if kind.tells(reading, table, geometry) else None
    curve = likelihood(reading, table, geometry)
    return None if curve is None else HeightEvidence(reading, curve)


def _with(
    standing: list[HeightEvidence], new: HeightEvidence, below: float
) -> list[HeightEvidence]:
    same = [old for old in standing if old.question == new.question]
    if not same:
        return [*standing, new]
    contradicted = not new.curve or find_contradiction(standing, below) is not None
    stay = [old for old in same if not contradicted and _agreement(old.curve, new.curve) < below]
    return [*(old for old in standing if old not in same or old in stay), new]


def believed_after(
    prior: Posterior,
    answers: Iterable[HeightEvidence],
    table: ReadingTable,
    geometry: HeightGeometry | None = None,
) -> Posterior:
    """What is believed of the height after all these answers."""
    standing = [answer.reading for answer in answers]
    return reduce(Posterior.times, likelihoods(standing, table, geometry), prior)


def find_contradiction(answers: Sequence[HeightEvidence], below: float) -> Contradiction | None:
    """The two answers that agree least, if they agree less than `below`.

    Cents are left out: a sharp note has other causes than height.
    """
    pairs = (
        Contradiction(one.reading, other.reading, _agreement(one.curve, other.curve))
        for one, other in combinations([a for a in answers if kind_of(a.reading).only_height], 2)
    )
    worst = min(pairs, key=lambda pair: pair.agreement, default=None)
    return worst if worst is not None and worst.agreement < below else None


def _agreement(one: Curve, other: Curve) -> float:
    joint: float = max(map(mul, one, other))
    return joint / (max(one) * max(other))
