"""Answers that cannot both be right are named, not averaged."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from operator import mul

from logic.bench.measuring.posterior import Curve, HeightGeometry, ReadingTable, likelihood
from shared.job import Contact, Reading
from shared.words import mark, say, say_as

_FELT = {
    Contact.NONE: mark("no contact under {leaves}"),
    Contact.LIGHT: mark("light contact under {leaves}"),
    Contact.HEAVY: mark("heavy contact under {leaves}"),
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
        return say("{one}, yet {other}", one=describe(self.earlier), other=describe(self.later))


@dataclass(frozen=True)
class HeightEvidence:
    """One reading that speaks of the height, and its likelihood along the grid."""

    reading: Reading
    curve: Curve

    @property
    def question(self) -> Hashable:
        """What was asked: the same leaf, the same held fret, the same fret's cents, a number."""
        reading = self.reading
        return tuple(sorted(reading.leaves)), reading.held_at, reading.fret


def height_evidence(
    readings: Iterable[Reading],
    string: int,
    below: float,
    table: ReadingTable,
    ways: HeightGeometry | None = None,
) -> tuple[HeightEvidence, ...]:
    """The answers that stand for `string`, oldest first.

    A question answered again replaces its earlier answer, for a second touch with one leaf shares
    that leaf's own error. Only where the two contradict do both stand, until one is read again.
    """
    standing: list[HeightEvidence] = []
    for reading in readings:
        if reading.string != string:
            continue
        curve = likelihood(reading, table, ways)
        if curve is not None:
            standing = _with(standing, HeightEvidence(reading, curve), below)
    return tuple(standing)


def _with(
    standing: list[HeightEvidence], new: HeightEvidence, below: float
) -> list[HeightEvidence]:
    same = [old for old in standing if old.question == new.question]
    if not same:
        return [*standing, new]
    told = find_contradiction(standing, below) is not None
    stay = [old for old in same if not told and _agreement(old.curve, new.curve) < below]
    return [*(old for old in standing if old not in same or old in stay), new]


def find_contradiction(answers: Sequence[HeightEvidence], below: float) -> Contradiction | None:
    """The two answers that agree least, if they agree less than `below`.

    Cents are left out: a sharp note has other causes than height.
    """
    pairs = (
        Contradiction(one.reading, other.reading, _agreement(one.curve, other.curve))
        for one, other in combinations([a for a in answers if a.reading.cents is None], 2)
    )
    worst = min(pairs, key=lambda pair: pair.agreement, default=None)
    return worst if worst is not None and worst.agreement < below else None


def describe(reading: Reading) -> str:
    """One reading in words, in the unit it was given in."""
    if reading.contact is not None:
        leaves = " + ".join(leaf.show() for leaf in reading.leaves)
        return say(_FELT[reading.contact], leaves=leaves)
    if reading.clearance is not None:
        return say("a clearance of {length}", length=reading.clearance.show())
    if reading.gap is not None:
        gap, fret = reading.gap.show(), reading.held_at
        return say("a gap of {length} while held at fret {fret}", length=gap, fret=fret)
    if reading.cents is not None:
        cents, fret = f"{reading.cents:+g}", reading.fret
        return say("{cents} cents at fret {fret}", cents=cents, fret=fret)
    return say("buzzes open: {how}", how=say_as("playing", reading.buzz.value))


def _agreement(one: Curve, other: Curve) -> float:
    joint: float = max(map(mul, one, other))
    return joint / (max(one) * max(other))
