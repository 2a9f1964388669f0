"""What the nut shows as a whole, as a typed finding, before anything is put into words."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from logic.bench.tables.vocabulary import RaiseMethod
from shared.job import RaiseOption
from shared.measurements import Side


class NutFinding(StrEnum):
    """What several slots show together. A finding that stands further up is said first."""

    OTHER_HAND = "made for the other hand"
    """Narrow slots or high strings at one end, wide slots or low strings at the other."""
    V_SHAPED = "V-shaped slots"
    BROKEN_WALL = "broken wall"
    ODD_PITCH = "one off in pitch"
    """A string as high as its neighbours and far from them in pitch: it is not the nut."""
    ZERO_FRET = "zero fret"
    """A fret carries the strings, so that no slot changes a height."""
    CLAMPED_HIGH = "clamped too high"
    CLAMPED_LOW = "clamped too low"
    ORIGINAL_LOW = "original and low"
    """Several slots are low on a part worth keeping."""
    SEVERAL_LOW = "three or more low"
    ONE_SIDE_LOW = "one side low"
    SOME_LOW = "some low"
    MUCH_MISSING = "too much missing"
    """No shim or wedge that is thick enough is one to put under a nut."""
    ALL_HIGH_ALIKE = "all high alike"
    ALL_HIGH_GLUED = "all high alike and glued in"
    SOME_HIGH = "some high"
    UNREAD = "not read"
    UNCHECKED = "to be checked"
    SOUND = "nothing to do"


METHODS = {
    NutFinding.OTHER_HAND: RaiseMethod.NEW_NUT,
    NutFinding.V_SHAPED: RaiseMethod.NEW_NUT,
    NutFinding.BROKEN_WALL: RaiseMethod.NEW_NUT,
    NutFinding.CLAMPED_LOW: RaiseMethod.SHIM,
    NutFinding.ORIGINAL_LOW: RaiseMethod.SHIM,
    NutFinding.SEVERAL_LOW: RaiseMethod.NEW_NUT,
    NutFinding.ONE_SIDE_LOW: RaiseMethod.WEDGE,
    NutFinding.SOME_LOW: RaiseMethod.FILL,
    NutFinding.MUCH_MISSING: RaiseMethod.NEW_NUT,
    NutFinding.ALL_HIGH_ALIKE: RaiseMethod.BASE,
}
"""The method that each finding calls for; the others call for none (common practice, no source)."""


@dataclass(frozen=True)
class FoundOnNut:
    """One finding, with what it is about."""

    kind: NutFinding
    strings: tuple[int, ...] = ()
    """The strings that show it, from bass to treble."""
    side: Side | None = None
    amount_mm: float | None = None
    """What comes off the base, where it may come off."""
    spoilt: tuple[int, ...] = ()
    """Strings that stand well and would stand too high after what is recommended."""

    @property
    def method(self) -> RaiseMethod | None:
        """The method that it calls for; None where it calls for none."""
        return METHODS.get(self.kind)

    @property
    def spoils_more_than_it_cures(self) -> bool:
        """Whether what is recommended leaves more good slots too high than it raises low ones."""
        return len(self.spoilt) > len(self.strings)


@dataclass(frozen=True)
class WholeNut:
    """The one advice for the nut as a whole."""

    finding: FoundOnNut
    """What decides: its method is the recommended one, if it is on offer."""
    beside: tuple[FoundOnNut, ...] = ()
    """What else the nut shows; it never asks for another method than `finding`."""
    options: tuple[RaiseOption, ...] = ()

    @property
    def shown(self) -> tuple[FoundOnNut, ...]:
        """Everything that is found, in the order in which it is said."""
        order = tuple(NutFinding)
        return tuple(sorted((self.finding, *self.beside), key=lambda one: order.index(one.kind)))
