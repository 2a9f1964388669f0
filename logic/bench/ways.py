"""One string's geometry and spring, as far as the other ways of reading need them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from logic.bench.trade import Trade
from logic.physics.neck import (
    SLOT_TO_CLEARANCE,
    Neck,
    clearance_mm,
    fanned_scale_mm,
    fret_position_mm,
    neck_from_action,
    nut_height_from_held_gap_mm,
    saddle_height_mm,
)
from logic.physics.sharpness import Finger, Spring, cents_at_clearance
from logic.physics.wires import Packet, wire
from shared.errors import InputError
from shared.instrument import Instrument


@dataclass(frozen=True)
class StringWays:
    """How a held gap or a tuner's cents speak of the clearance of one string."""

    neck: Neck
    action_12_mm: float | None
    spring: Spring | None
    """None where no such string could be."""
    finger: Finger

    def held_clearance_mm(self, gap_mm: float, held_at: int) -> tuple[float, float]:
        """Clearance of the open string, and millimetres of it per millimetre of held gap."""
        bearing = nut_height_from_held_gap_mm(self.neck, gap_mm, held_at)
        neck = self.neck
        if self.action_12_mm is not None:
            sag = self.neck.sag_mm(12)
            saddle = saddle_height_mm(self.action_12_mm, bearing, sag)
            neck = replace(neck, saddle_height_mm=saddle)
        return clearance_mm(neck, bearing), _per_gap(held_at)

    def cents(self, clearance_mm: float, fret: int) -> float | None:
        """How sharp a stopped note is by its height; None where the string is not known."""
        if self.spring is None:
            return None
        neck = self.neck
        if self.action_12_mm is not None:
            neck = neck_from_action(neck, clearance_mm, self.action_12_mm)
        return cents_at_clearance(neck, clearance_mm, fret, self.spring, self.finger)


@lru_cache(maxsize=4)
def _per_gap(held_at: int) -> float:
    """Clearance per held gap: the string turns about the held crown, then about the saddle."""
    first, held = fret_position_mm(1.0, 1), fret_position_mm(1.0, held_at)
    return held / (held - first) * SLOT_TO_CLEARANCE


def string_ways(instrument: Instrument, string: int, trade: Trade) -> StringWays:
    """The ways of one string of this instrument."""
    table = trade.tables["reading"]
    return StringWays(
        neck=Neck(
            scale_mm=_scale_mm(instrument, string),
            saddle_height_mm=float(table["saddle_height_mm"]["value"]),
            relief_mm=instrument.relief.mm if instrument.relief else 0.0,
        ),
        action_12_mm=_action_mm(instrument, string),
        spring=_spring(instrument, string, trade),
        finger=Finger(behind_mm=float(table["finger_behind_mm"]["value"])),
    )


def _scale_mm(instrument: Instrument, string: int) -> float:
    if instrument.scale_bass is None or len(instrument.strings) < 2:
        return instrument.scale.mm
    numbers = sorted(spec.string for spec in instrument.strings)
    place = numbers.index(string) / (len(numbers) - 1)
    return fanned_scale_mm(instrument.scale.mm, instrument.scale_bass.mm, place)


def _spring(instrument: Instrument, string: int, trade: Trade) -> Spring | None:
    spec = instrument.spec(string)
    packet = Packet(
        make=spec.make.value,
        gauge_mm=spec.gauge.mm,
        scale_mm=_scale_mm(instrument, string),
        hz=spec.pitch.hz(instrument.a4_hz),
        core_mm=spec.core.mm if spec.core else None,
    )
    try:
        return wire(packet, trade.tables["materials"]).spring
    except InputError:
        return None  # its cents then say nothing, and none are shown


def _action_mm(instrument: Instrument, string: int) -> float | None:
    """Action over fret 12: as given, or on the line between the strings it was given for."""
    given = {number: length.mm for number, length in sorted(instrument.action_12.items())}
    if not given:
        return None
    below = max((n for n in given if n <= string), default=min(given))
    above = min((n for n in given if n >= string), default=max(given))
    if above == below:
        return given[below]
    return given[below] + (given[above] - given[below]) * (string - below) / (above - below)
