"""What the nut shows as a whole, as a typed finding, before anything is put into words."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from logic.bench.tables.vocabulary import RaiseMethod
from shared.job import RaiseOption
from shared.measurements import Side


class NutFinding(StrEnum):
    """What several slots show together. A finding that stands further up is said first."""

    LATER = "for the bench"
    """It must play within minutes."""
    OTHER_HAND = "made for the other hand"
    """Narrow slots or high strings at one end, wide slots or low strings at the other."""
    V_SHAPED = "V-shaped slots"
    V_STANDING = "V-shaped slots that stand right"
    """None of them is low yet."""
    BROKEN_WALL = "broken wall"
    ODD_PITCH = "one off in pitch"
    """A string as high as its neighbours and far from them in pitch: it is not the nut."""
    ZERO_FRET = "zero fret"
    """A fret carries the strings, so that no slot changes a height."""
    NECK_FIRST = "neck first"
    """What would be done cannot be undone, and the neck is not known to be right."""
    CHECKS_FIRST = "checks first"
    """What would be done cannot be undone, and another check is open."""
    ONE_PIECE_HIGH = "one piece and high"
    """No shim is known that could come out."""
    ONE_PIECE_SHIMMED = "one piece, high on a shim"
    ONE_PIECE_LOW = "one piece and low"
    ONE_PIECE_UNFIT = "one piece that fits no shim"
    """What lifts its low strings enough lifts at least as many others too far."""
    SHIM_OUT = "high on a shim"
    ORIGINAL_LOW = "original and low"
    """Several slots are low on a part worth keeping."""
    ORIGINAL_KEPT = "original, and no shim sets it"
    NO_BASE = "no base for a fill"
    SEVERAL_LOW = "three or more low"
    ONE_SIDE_LOW = "one side low"
    SOME_LOW = "some low"
    MUCH_MISSING = "too much missing"
    """No shim that is thick enough is one to put under a nut."""
    ALL_HIGH_ALIKE = "all high alike"
    ALL_HIGH_ASK = "all high alike, to be asked about"
    """It is not known how far the base may come down, or whether the part may be touched."""
    ALL_HIGH_GLUED = "all high alike and glued in"
    SOME_HIGH = "some high"
    UNREAD = "not read"
    UNCHECKED = "to be checked"
    SOUND = "nothing to do"


METHODS = {
    NutFinding.LATER: RaiseMethod.STRIP,
    NutFinding.OTHER_HAND: RaiseMethod.NEW_NUT,
    NutFinding.V_SHAPED: RaiseMethod.NEW_NUT,
    NutFinding.BROKEN_WALL: RaiseMethod.NEW_NUT,
    NutFinding.ONE_PIECE_SHIMMED: RaiseMethod.SHIM_OUT,
    NutFinding.ONE_PIECE_LOW: RaiseMethod.SHIM,
    NutFinding.SHIM_OUT: RaiseMethod.SHIM_OUT,
    NutFinding.ORIGINAL_LOW: RaiseMethod.SHIM,
    NutFinding.NO_BASE: RaiseMethod.NEW_NUT,
    NutFinding.SEVERAL_LOW: RaiseMethod.NEW_NUT,
    NutFinding.ONE_SIDE_LOW: RaiseMethod.WEDGE,
    NutFinding.SOME_LOW: RaiseMethod.FILL,
    NutFinding.MUCH_MISSING: RaiseMethod.NEW_NUT,
    NutFinding.ALL_HIGH_ALIKE: RaiseMethod.BASE,
}
"""The method that each finding calls for; the others call for none (common practice, no source)."""

ONE_WAY = frozenset({RaiseMethod.BASE, RaiseMethod.FILL, RaiseMethod.NEW_NUT})
"""Methods that file, or take the old nut out for good."""


class WaitsFor(StrEnum):
    """What comes before the method that a finding calls for."""

    NECK = "the neck"
    OWNER = "the owner"


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
    """Strings that stand well, and that a wedge or shim would have spoilt for these."""

    @property
    def method(self) -> RaiseMethod | None:
        """The method that it calls for; None where it calls for none."""
        return METHODS.get(self.kind)


@dataclass(frozen=True)
class WholeNut:
    """The one advice for the nut as a whole."""

    finding: FoundOnNut
    """What decides: its method is the recommended one, if it is on offer and nothing is to be known
    or asked before."""
    beside: tuple[FoundOnNut, ...] = ()
    """What else the nut shows; it never asks for another method than `finding`."""
    options: tuple[RaiseOption, ...] = ()
    waits_for: tuple[WaitsFor, ...] = ()
    """What comes before the finding's method, where it is not recommended yet."""
    rough_over_mm: float | None = None
    """How far over its targets a new blank may stand before the neck is read, where one is called
    for and the neck is not read."""

    @property
    def shown(self) -> tuple[FoundOnNut, ...]:
        """Everything that is found, in the order in which it is said."""
        order = tuple(NutFinding)
        return tuple(sorted((self.finding, *self.beside), key=lambda one: order.index(one.kind)))

    @property
    def recommended(self) -> RaiseOption | None:
        """The one way that is recommended, if any is."""
        return next((option for option in self.options if option.recommended), None)
