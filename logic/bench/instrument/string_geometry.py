"""One string's geometry and spring, as far as readings other than leaves need them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from logic.bench.instrument.action import action_12_mm
from logic.bench.instrument.frets import action_fret, in_tune_fret, own_frets, own_semitones
from logic.bench.instrument.strung_string import (
    bow_under,
    finger_at,
    finger_of,
    scale_mm,
    wire_of,
)
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import (
    Neck,
    clearance_mm,
    neck_from_action,
    neck_from_nut,
    nut_height_from_held_gap_mm,
    nut_height_mm,
)
from logic.physics.sharpness import Finger, Spring, cents_at_clearance, saddle_set
from logic.physics.strings import Wire
from shared.errors import InputError
from shared.instrument import Instrument, StringSpec


@dataclass(frozen=True)
class StringGeometry:
    """How a held gap or a tuner's cents speak of the clearance of one string.

    The action an octave up is taken as measured with the string where it stands now.
    """

    neck: Neck
    action_12_mm: float | None
    spring: Spring | None
    """None where no such string could be."""
    finger: Finger
    kappa_sd_share: float = 0.0
    """How far off its κ may be, one standard deviation, as a share of it."""
    action_fret: int = 12
    """The fret an octave up, over which action is measured and which the saddle puts right, counted
    from this string's own nut."""

    def semitones_at(self, fret: int) -> float:
        """The pitch of a fret above the open string."""
        return self.neck.semitones_at(fret)

    def held_clearance_mm(self, gap_mm: float, held_at: int) -> tuple[float, float]:
        """Clearance of the open string, and millimetres of it per millimetre of held gap."""
        bearing = nut_height_from_held_gap_mm(self.neck, gap_mm, held_at)
        neck = self.neck
        if self.action_12_mm is not None:
            neck = neck_from_nut(neck, bearing, self.action_12_mm, self.action_fret)
        return clearance_mm(neck, bearing), _per_gap(self.neck, held_at)

    def cents(self, clearance_mm: float, fret: int) -> float | None:
        """How sharp a stopped note is by its height; None where the string is not known."""
        if self.spring is None:
            return None
        return self.cents_on(self.standing(clearance_mm), clearance_mm, fret, self.spring)

    def cents_on(self, neck: Neck, clearance_mm: float, fret: int, spring: Spring) -> float:
        """How sharp a stopped note is over a saddle that stays where it is."""
        finger = finger_at(neck, fret, self.finger)
        return cents_at_clearance(neck, clearance_mm, fret, spring, finger)

    def saddle_set(self, neck: Neck, clearance_mm: float, spring: Spring) -> Neck:
        """The same neck with its saddle where the octave is in tune at this clearance."""
        nut, finger = (
            nut_height_mm(neck, clearance_mm),
            finger_at(neck, self.action_fret, self.finger),
        )
        return saddle_set(neck, nut, spring, finger, in_tune_at=self.action_fret)

    def standing(self, clearance_mm: float) -> Neck:
        """The neck, with the saddle where this clearance and the action put it."""
        if self.action_12_mm is None:
            return self.neck
        return neck_from_action(self.neck, clearance_mm, self.action_12_mm, self.action_fret)


def _per_gap(neck: Neck, held_at: int) -> float:
    """Clearance per held gap: the string turns about the held crown, then about the saddle."""
    board = replace(neck, scale_mm=1.0)
    first, held = board.fret_mm(1), board.fret_mm(held_at)
    return held / (held - first) * neck.slot_to_clearance


def string_geometry(instrument: Instrument, string: int, trade: TradeTables) -> StringGeometry:
    """The geometry of one string of this instrument; KeyError when there is none."""
    spec = instrument.spec(string)
    wire = _wire(spec, instrument, trade)
    bow = bow_under(spec, instrument, instrument.relief.mm if instrument.relief else 0.0)
    return StringGeometry(
        neck=Neck(
            scale_mm=scale_mm(spec, instrument),
            saddle_height_mm=trade.reading.saddle_height_mm,
            relief_mm=bow.relief_mm,
            relief_to=bow.relief_to,
            frets=own_frets(spec, instrument),
            semitones=own_semitones(spec, instrument),
        ),
        action_12_mm=_action_mm(spec, instrument, trade),
        spring=wire.spring if wire else None,
        kappa_sd_share=wire.kappa_sd / wire.kappa if wire else 0.0,
        finger=finger_of(trade),
        action_fret=in_tune_fret(spec, instrument),
    )


def _wire(spec: StringSpec, instrument: Instrument, trade: TradeTables) -> Wire | None:
    try:
        return wire_of(spec, instrument, trade)
    except InputError:
        return None  # its cents then say nothing, and none are shown


def _action_mm(spec: StringSpec, instrument: Instrument, trade: TradeTables) -> float | None:
    """Action an octave up, where the instrument says; a string with its own nut needs its own."""
    if action_fret(spec, instrument) is None or not instrument.action_12:
        return None
    if spec.from_fret and spec.string not in instrument.action_12:
        return None
    return action_12_mm(spec, instrument, trade)
