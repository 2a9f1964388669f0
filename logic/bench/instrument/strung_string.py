"""One string as it is strung on this instrument: its neck, its wire, and the finger on it.

What the instrument does not say comes from the tables, in this order: its own figures, the preset
of its kind, the usual relief of its family. The action an octave up (fret 12 on a semitone board)
is taken to have been measured with the nut about where it belongs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from logic.bench.instrument.action import action_12_mm
from logic.bench.instrument.frets import action_fret, nut_semitones, own_frets, own_semitones
from logic.bench.instrument.targets import course_of
from logic.bench.tables.trade_tables import TradeTables
from logic.physics import sharpness
from logic.physics.neck import (
    Neck,
    fanned_scale_mm,
    fret_position_mm,
    neck_from_action,
    nut_height_mm,
)
from logic.physics.sharpness import Finger
from logic.physics.strings import Wire
from logic.physics.wires import Packet, wire
from shared.errors import InputError
from shared.instrument import Instrument, StringSpec
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.attack import PlayingFamily

SEMITONES_TO_OCTAVE = 12
"""Half-way along a string."""


@dataclass(frozen=True)
class StrungString:
    """A string on its neck, ready for the physics."""

    spec: StringSpec
    neck: Neck
    wire: Wire
    finger: Finger
    relief_sd_mm: float
    action_sd_mm: float

    def finger_at(self, fret: int) -> Finger:
        """The fingertip at a fret of this neck."""
        return finger_at(self.neck, fret, self.finger)

    def cents(self, clearance_mm: float, fret: int) -> float:
        """How sharp a fret is with the open string at this clearance, cents."""
        finger = self.finger_at(fret)
        return sharpness.cents_at_clearance(self.neck, clearance_mm, fret, self.wire.spring, finger)

    def clearance_mm(self, cents: float, fret: int) -> float | None:
        """The clearance that explains so many cents of sharpness, millimetres; None where height
        alone cannot."""
        return sharpness.clearance_from_cents(
            cents, fret, neck=self.neck, spring=self.wire.spring, finger=self.finger_at(fret)
        )

    def nut_mm(self, clearance_mm: float) -> float:
        """Height of the bearing point over the crown plane at this clearance."""
        return nut_height_mm(self.neck, clearance_mm)


def strung_string(
    spec: StringSpec, instrument: Instrument, trade: TradeTables, standing_mm: float
) -> StrungString:
    """One string; `standing_mm` is the clearance at which its action was measured, near enough."""
    relief, relief_sd = _relief_mm(instrument, trade)
    sd = bow_under(spec, instrument, relief_sd)
    return StrungString(
        spec=spec,
        neck=_neck(spec, instrument, trade, relief, standing_mm),
        wire=wire_of(spec, instrument, trade),
        finger=finger_of(trade),
        relief_sd_mm=sd.relief_mm,
        action_sd_mm=trade.attack.action_sd_mm,
    )


def _neck(
    spec: StringSpec,
    instrument: Instrument,
    trade: TradeTables,
    relief_mm: float,
    standing_mm: float,
) -> Neck:
    """The neck along this string. A string with a nut of its own, and no action measured on it,
    shares the saddle that its neighbours' action gives. On a board with no fret near the octave the
    action is taken half-way along the string."""
    bow = bow_under(spec, instrument, relief_mm)
    own = Neck(
        scale_mm(spec, instrument),
        0.0,
        bow.relief_mm,
        relief_to=bow.relief_to,
        frets=own_frets(spec, instrument),
        semitones=own_semitones(spec, instrument),
    )
    action, fret = action_12_mm(spec, instrument, trade), action_fret(spec, instrument)
    if fret is None or (spec.from_fret and spec.string not in instrument.action_12):
        on_common = spec.model_copy(update={"from_fret": 0})
        at = action_fret(on_common, instrument)
        whole = replace(
            own,
            scale_mm=whole_scale_mm(spec, instrument),
            relief_mm=relief_mm,
            relief_to=Neck.relief_to,
            semitones=own_semitones(on_common, instrument) if at else (),
        )
        shared = neck_from_action(whole, standing_mm, action, at or SEMITONES_TO_OCTAVE)
        return replace(own, saddle_height_mm=shared.saddle_height_mm - bow.rises_mm)
    return neck_from_action(own, standing_mm, action, fret)


@dataclass(frozen=True)
class OwnBow:
    """How the board bends under one string, over the plane of its own crowns as a `Neck` has it."""

    relief_mm: float
    relief_to: float
    """Semitones above the string's own nut."""
    rises_mm: float = 0.0
    """How far that plane stands at the saddle over the plane of the common nut's strings."""


def bow_under(spec: StringSpec, instrument: Instrument, relief_mm: float) -> OwnBow:
    """Relief as a string meets it: laid along the whole board, of which a string with a nut of its
    own has the upper part. A part w of a parabola that spans W is (w/W)² as deep; beyond the far
    foot the board is straight (geometry)."""
    foot = Neck.relief_to
    if not spec.from_fret:
        return OwnBow(relief_mm, foot)
    length = whole_scale_mm(spec, instrument)
    pitches = (instrument.semitones_at(fret) for fret in (1, spec.from_fret + 1))
    start, own, end = (fret_position_mm(length, each) for each in (*pitches, foot))
    whole, part = end - start, max(end - own, 0.0)
    if whole <= 0.0:
        return OwnBow(0.0, foot - nut_semitones(spec, instrument))
    steep = 4.0 * relief_mm * (whole - part) / whole**2
    return OwnBow(
        relief_mm=relief_mm * (part / whole) ** 2,
        relief_to=foot - nut_semitones(spec, instrument),
        rises_mm=steep * (length - end),
    )


def wire_of(spec: StringSpec, instrument: Instrument, trade: TradeTables) -> Wire:
    """The string at pitch; InputError names the string where there can be none such."""
    grams, stretch = spec.grams_per_metre, spec.whole_tone_stretch
    packet = Packet(
        make=spec.make.value,
        gauge_mm=spec.gauge.mm,
        scale_mm=scale_mm(spec, instrument),
        hz=spec.pitch.hz(instrument.a4_hz),
        core_mm=spec.core.mm if spec.core is not None else None,
        measured_kg_per_m=grams / 1000.0 if grams is not None else None,
        whole_tone_stretch_mm=stretch.mm if stretch is not None else None,
    )
    try:
        return wire(packet, trade.materials)
    except InputError as error:
        raise error.at(say("string {name}", name=spec.string)) from error


def scale_mm(spec: StringSpec, instrument: Instrument) -> float:
    """The string's own length: along a fan, and from its own nut where it has one."""
    up = nut_semitones(spec, instrument)
    return float(whole_scale_mm(spec, instrument) * 2.0 ** (-up / 12))


def whole_scale_mm(spec: StringSpec, instrument: Instrument) -> float:
    """The string's length from the line of the common nut, its own or along a fan."""
    if spec.scale is not None:
        return spec.scale.mm
    if instrument.scale_bass is None:
        return instrument.scale.mm
    across = place(spec, instrument)
    return fanned_scale_mm(instrument.scale.mm, instrument.scale_bass.mm, across)


def place(spec: StringSpec, instrument: Instrument) -> float:
    """Where the string lies across the neck, by course: 0 the highest, 1 the lowest."""
    courses = [course_of(other) for other in instrument.strings]
    first, last = min(courses), max(courses)
    return (course_of(spec) - first) / (last - first) if last > first else 0.0


def finger_of(trade: TradeTables) -> Finger:
    """The usual fingertip."""
    finger = trade.attack.finger
    return Finger(finger.behind_mm.value, finger.push_mm.value)


def finger_at(neck: Neck, fret: int, finger: Finger) -> Finger:
    """The fingertip at a fret: where frets lie close it stays in the nearer half of the space."""
    space = neck.fret_mm(fret) - neck.fret_mm(fret - 1)
    return replace(finger, behind_mm=min(finger.behind_mm, space / 2.0))


def family_of(kind: str, trade: TradeTables) -> PlayingFamily:
    """How instruments of this kind are played; the first family where none lists it."""
    families = trade.attack.families
    return next((family for family in families if kind in family.kinds), families[0])


def _relief_mm(instrument: Instrument, trade: TradeTables) -> tuple[float, float]:
    """Relief and its sd: measured, or the usual one of the family."""
    if instrument.relief is not None:
        return instrument.relief.mm, trade.attack.relief_measured_sd_mm
    usual = trade.relief.of(instrument.kind).usual.mm
    return usual, usual * trade.attack.relief_sd_share
