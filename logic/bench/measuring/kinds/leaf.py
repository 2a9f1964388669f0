"""A leaf slid between crown and string, and what the hand feels.

The clearance is h. A leaf of thickness g, felt with judgement spread s and light-contact half-width
w, answers

    P(no contact) = 1 − Φ((w − (h − g))/s),  P(heavy) = Φ((−w − (h − g))/s),  P(light) = the rest
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable
from functools import lru_cache
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import FretNames
from logic.bench.measuring.grid import CLEARANCE, Curve, Grid, floored, phi
from logic.bench.measuring.kinds.kind import FigureWording, HeightGeometry, ReadingKind, around
from shared.marked import laid_together
from shared.readings import Contact, LeafReading
from shared.units import Length
from shared.words import mark, say

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable

CONTACTS = {
    Contact.NONE: mark("no contact"),
    Contact.LIGHT: mark("light contact"),
    Contact.HEAVY: mark("heavy contact"),
}
"""What the hand feels, in words."""
_UNDER = {
    Contact.NONE: mark("no contact under {leaves}"),
    Contact.LIGHT: mark("light contact under {leaves}"),
    Contact.HEAVY: mark("heavy contact under {leaves}"),
}


class LeafKind(ReadingKind[LeafReading]):
    """A leaf or a stack of two, felt."""

    model = LeafReading
    columns = ("leaf", "second leaf", "contact")

    def likelihood(
        self, reading: LeafReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> Curve:
        """How likely this contact is at each clearance."""
        return contact_curve(reading.leaves, reading.contact, table)

    def bounds_mm(
        self, reading: LeafReading, table: ReadingTable, geometry: Callable[[], HeightGeometry]
    ) -> tuple[float, float]:
        """No contact: the leaf or more; heavy: the leaf or less; light: about the leaf."""
        leaf, spread = stack(tuple(leaf.mm for leaf in reading.leaves), table)
        if reading.contact is Contact.NONE:
            return leaf, max(CLEARANCE.high, leaf)
        if reading.contact is Contact.HEAVY:
            return 0.0, leaf
        return around(leaf, table.light_half_width_mm + 2.0 * spread)

    def question(self, reading: LeafReading) -> Hashable:
        """A touch with the same leaves."""
        return tuple(sorted(reading.leaves))

    def sentence(self, reading: LeafReading, _frets: FretNames) -> str:
        """As in: no contact under 18 thou."""
        return contact_under(reading.contact, reading.leaves)

    def short(self, reading: LeafReading, figures: FigureWording, _frets: FretNames) -> str:
        """As in: 18 no contact."""
        return f"{figures.stack(reading.leaves)} {say(CONTACTS[reading.contact])}"

    def cells(self, reading: LeafReading) -> tuple[str, ...]:
        """Each leaf, and the contact."""
        first, second, *_ = (*map(str, reading.leaves), "")
        return first, second, reading.contact.value


KIND = LeafKind()


def contact_under(contact: Contact, leaves: tuple[Length, ...]) -> str:
    """What the hand felt, and with what: no contact under 18 thou."""
    return say(_UNDER[contact], leaves=laid_together(leaves))


def contact_curve(leaves: tuple[Length, ...], contact: Contact, table: ReadingTable) -> Curve:
    """Likelihood of one answer with one leaf or stack, along the grid of clearances."""
    thickness, spread = stack(tuple(leaf.mm for leaf in leaves), table)
    return contact_curves(CLEARANCE, thickness, spread, table.light_half_width_mm)[contact]


def stack(leaves_mm: tuple[float, ...], table: ReadingTable) -> tuple[float, float]:
    """Thickness of a leaf or stack, and the spread of an answer given with it.

    Each interface between leaves traps film; tolerances of one lot go one way, so they add, and
    enter as a rectangular half-width a with standard uncertainty a/√3 (GUM, JCGM 100:2008, 4.3.7).
    """
    thickness = sum(leaves_mm) + (len(leaves_mm) - 1) * table.film_mm
    tolerance = len(leaves_mm) * table.leaf_tolerance_mm
    return thickness, math.hypot(table.judgement_spread_mm, tolerance / math.sqrt(3.0))


def contact_chances(
    gap_mm: float, spread_mm: float, half_width_mm: float
) -> tuple[float, float, float]:
    """Chances of no, light and heavy contact where the clearance exceeds the leaf by `gap_mm`."""
    none = phi((gap_mm - half_width_mm) / spread_mm)
    heavy = phi((-half_width_mm - gap_mm) / spread_mm)
    return none, max(1.0 - none - heavy, 0.0), heavy


@lru_cache(maxsize=256)
def contact_curves(
    grid: Grid, thickness_mm: float, spread_mm: float, half_width_mm: float, gap_per_unit: float = 1
) -> dict[Contact, Curve]:
    """Likelihood of each contact along `grid`, where the gap under the string is `gap_per_unit`
    times the quantity of the grid."""
    chances = [
        contact_chances(value * gap_per_unit - thickness_mm, spread_mm, half_width_mm)
        for value in grid.values
    ]
    columns = zip(*chances, strict=True)
    order = (Contact.NONE, Contact.LIGHT, Contact.HEAVY)
    return {c: floored(column) for c, column in zip(order, columns, strict=True)}
