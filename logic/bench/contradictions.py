"""Answers that cannot both be right are named, not averaged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations
from operator import mul

from logic.bench.reading import Curve, ReadingTable, Ways, likelihood
from shared.job import Contact, Reading

_FELT = {
    Contact.NONE: "no contact",
    Contact.LIGHT: "light contact",
    Contact.HEAVY: "heavy contact",
}


@dataclass(frozen=True)
class Contradiction:
    """Two readings of one string that no single clearance explains."""

    earlier: Reading
    later: Reading
    agreement: float
    """Best joint likelihood at any clearance, against each reading's own best; at most 1."""

    @property
    def words(self) -> str:
        """What contradicts what."""
        return f"{describe(self.earlier)}, yet {describe(self.later)}"


def find_contradiction(
    readings: Iterable[Reading],
    string: int,
    below: float,
    table: ReadingTable,
    ways: Ways | None = None,
) -> Contradiction | None:
    """The pair of readings of `string` that agree least, if they agree less than `below`.

    Cents are left out: a sharp note has other causes than height.
    """
    curves = [
        (reading, curve)
        for reading in readings
        if reading.string == string
        and reading.cents is None
        and (curve := likelihood(reading, table, ways)) is not None
    ]
    pairs = (
        Contradiction(earlier, later, _agreement(one, other))
        for (earlier, one), (later, other) in combinations(_distinct(curves), 2)
    )
    worst = min(pairs, key=lambda pair: pair.agreement, default=None)
    return worst if worst is not None and worst.agreement < below else None


def describe(reading: Reading) -> str:
    """One reading in words, in the unit it was given in."""
    if reading.contact is not None:
        leaves = " + ".join(leaf.show() for leaf in reading.leaves)
        return f"{_FELT[reading.contact]} under {leaves}"
    if reading.clearance is not None:
        return f"a clearance of {reading.clearance.show()}"
    if reading.gap is not None:
        return f"a gap of {reading.gap.show()} while held at fret {reading.held_at}"
    if reading.cents is not None:
        return f"{reading.cents:+g} cents at fret {reading.fret}"
    return f"buzzes open: {reading.buzz}"


def _distinct(curves: list[tuple[Reading, Curve]]) -> list[tuple[Reading, Curve]]:
    """Equal answers once: they share one curve, and agree."""
    seen: set[int] = set()
    kept = []
    for reading, curve in curves:
        if id(curve) not in seen:
            seen.add(id(curve))
            kept.append((reading, curve))
    return kept


def _agreement(one: Curve, other: Curve) -> float:
    joint: float = max(map(mul, one, other))
    return joint / (max(one) * max(other))
