"""Entries that can be written and can hardly be: how a string pulls, and how high it was read.

Each is questioned where it is met, before any amount is made from it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from logic.bench.instrument.strung_string import wire_of
from logic.bench.instrument.targets import over_first_fret_mm
from logic.bench.measuring.kinds.leaf import stack
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.strings import Wire
from shared.errors import InputError
from shared.instrument import Instrument, Make, NutType, StringSpec
from shared.readings import ClearanceReading, Contact, LeafReading, Reading

SOFT_MAKES = frozenset({Make.NYLON, Make.WOUND_NYLON, Make.FLUOROCARBON, Make.GUT})
"""Makes that stretch so far that they stand higher and sharpen less."""


@dataclass(frozen=True)
class OddTension:
    """A string that pulls what no such string does, newtons, beside what it usually pulls; where
    nobody says what is usual, beside the most that any string pulls, or the least."""

    pulls_n: float
    usual_n: float
    breaks: bool
    """Whether it would break before it came up to pitch."""

    def in_newtons(self) -> dict[str, str]:
        """Both figures as they are said."""
        return {"pulls": f"{self.pulls_n:.0f}", "usual": f"{self.usual_n:.0f}"}


def odd_tensions(
    instrument: Instrument, usual: Instrument | None, trade: TradeTables
) -> dict[int, OddTension]:
    """The strings whose gauge and pitch cannot both be meant, by number."""
    found = (
        (spec.string, _odd_tension(spec, instrument, usual, trade)) for spec in instrument.strings
    )
    return {string: odd for string, odd in found if odd is not None}


def _odd_tension(
    spec: StringSpec, instrument: Instrument, usual: Instrument | None, trade: TradeTables
) -> OddTension | None:
    wire = _wire(spec, instrument, trade)
    if wire is None:
        return None  # no such string can be worked out at all, which is said elsewhere
    limits = trade.rules.limits
    least, most = limits.least_tension_n, limits.most_tension_n
    near = most if wire.tension_n > most else least
    there = _usual_wire(spec, usual, trade)
    if there is not None:
        near = there.tension_n
        least, most = near * limits.least_tension_share, near * limits.most_tension_share
    if wire.overloaded or not least <= wire.tension_n <= most:
        return OddTension(wire.tension_n, near, wire.overloaded)
    return None


def _usual_wire(spec: StringSpec, usual: Instrument | None, trade: TradeTables) -> Wire | None:
    """The string of this number as the kind usually has it."""
    if usual is None or spec.string not in {other.string for other in usual.strings}:
        return None
    return _wire(usual.spec(spec.string), usual, trade)


def _wire(spec: StringSpec, instrument: Instrument, trade: TradeTables) -> Wire | None:
    try:
        return wire_of(spec, instrument, trade)
    except InputError:
        return None


def great_clearances(
    readings: Iterable[Reading], instrument: Instrument, trade: TradeTables
) -> frozenset[int]:
    """The strings read so high over fret 1 that it may have been over the board. A nut that stands
    tall on purpose and a bare board have no such height."""
    if not instrument.fretted or instrument.nut.type is NutType.TALL_SLIDE:
        return frozenset()
    known = {spec.string: spec for spec in instrument.strings}
    return frozenset(
        reading.string
        for reading in readings
        if reading.string in known
        and _over_mm(reading, known[reading.string], instrument, trade) > 0.0
    )


def _over_mm(
    reading: Reading, spec: StringSpec, instrument: Instrument, trade: TradeTables
) -> float:
    """How far a reading lies over what such strings stand at. A leaf that slides free or just drags
    was felt on the crown, so that more is believed of it than of a number."""
    great = _great_mm(spec, instrument, trade)
    if isinstance(reading, ClearanceReading):
        return reading.clearance.mm - great
    if not isinstance(reading, LeafReading) or reading.contact is Contact.HEAVY:
        return -great
    thickness, _ = stack(tuple(leaf.mm for leaf in reading.leaves), trade.reading)
    return thickness - great - trade.rules.limits.great_by_leaf_more_mm


def _great_mm(spec: StringSpec, instrument: Instrument, trade: TradeTables) -> float:
    limits = trade.rules.limits
    if "bass" in instrument.kind:
        great = limits.great_on_bass_mm
    else:
        great = limits.great_on_soft_mm if spec.make in SOFT_MAKES else limits.great_on_steel_mm
    return over_first_fret_mm(great, 1.0, spec, instrument, trade)
