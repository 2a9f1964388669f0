"""The hand that feels a leaf: how far it errs, and how often it slips."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from shared.readings import Contact

if TYPE_CHECKING:
    from logic.bench.tables.simulation import SimulationTable


class Hand:
    """One hand with one drawer of leaves, each of which is off by an error of its own."""

    def __init__(
        self, random: Random, world: SimulationTable, leaf_error_mm: float, lapses: float = 0.0
    ) -> None:
        self.random, self.world = random, world
        self.leaf_error_mm, self.lapses = leaf_error_mm, lapses
        self.leaf_errors: dict[float, float] = {}
        self.touches = 0

    def feel(self, gap_mm: float, leaf_mm: float) -> Contact:
        """What the hand says of a leaf in a gap; a lapse says anything."""
        self.touches += 1
        reach = self.leaf_error_mm
        error = self.leaf_errors.setdefault(leaf_mm, self.random.uniform(-reach, reach))
        felt = gap_mm - leaf_mm - error + self.random.gauss(0.0, self.world.hand_spread_mm)
        if self.lapses and self.random.random() < self.lapses:
            return self.random.choice(tuple(Contact))
        if abs(felt) <= self.world.hand_light_half_width_mm:
            return Contact.LIGHT
        return Contact.NONE if felt > 0 else Contact.HEAVY
