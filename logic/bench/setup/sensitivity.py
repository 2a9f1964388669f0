"""How far one adjustment moves what is read elsewhere.

Places are shares of the scale from the nut, x = 1 - 2^(-n/12); heights are millimetres.

    relief   the body stays, the neck bends evenly from nut to join: the open string rises at x by
             4/W²·[ xⱼ²·(1 - x) - (xⱼ - x)²₊ ] per millimetre, W the span of the holds
    slot     a string is straight: 1 - x of a change at its slot arrives at x
    saddle   x/(1 + s) of a change at the saddle, s its set-back as a share of the scale

Necks that bend otherwise than evenly take it by a quarter more or less over fret 1 and by a fifth
at the octave (one standard deviation of the logarithm, from five bending shapes by three joins:
`assets/step_shifts.json`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from logic.physics.neck import fret_position_mm, relief_lift

STANDARD_HOLDS = (fret_position_mm(1.0, 1), fret_position_mm(1.0, 14))
"""Between which relief is stated: frets 1 and 14 of a semitone board."""


@dataclass(frozen=True)
class Move:
    """How far something was moved, as far as it is known: expected, and one standard deviation."""

    mm: float = 0.0
    sd_mm: float = 0.0
    size_mm: float = 0.0
    """How much was moved in all, whichever way: what was measured of a step, or what such a step
    does."""

    @classmethod
    def measured(cls, mm: float, sd_mm: float) -> Move:
        """A move that was measured."""
        return cls(mm, sd_mm, abs(mm))

    @classmethod
    def either_way(cls, sd_mm: float) -> Move:
        """A move of which only its usual size is known."""
        return cls(0.0, sd_mm, sd_mm)

    def __add__(self, other: Move) -> Move:
        """Both, one after the other, with errors of their own."""
        sd_mm = math.hypot(self.sd_mm, other.sd_mm)
        return Move(self.mm + other.mm, sd_mm, self.size_mm + other.size_mm)

    def times(self, share: float, share_sd: float = 0.0) -> Move:
        """What arrives of it elsewhere: `share` of it, which itself is known to `share_sd`."""
        sd_mm = math.hypot(share * self.sd_mm, share_sd * self.mm)
        return Move(share * self.mm, sd_mm, abs(share) * self.size_mm)


STILL = Move()
"""Nothing was moved."""


def relief_lifts(
    at: float,
    join: float = STANDARD_HOLDS[1],
    held: tuple[float, float] = STANDARD_HOLDS,
    nut: float = 0.0,
) -> float:
    """Millimetres that an open string, which starts at `nut`, rises at a place for each of added
    relief between two holds."""
    return relief_lift(at, join, held[1] - held[0], nut)


def slot_lifts(at: float) -> float:
    """Millimetres that a string rises at a place for each of height at its slot."""
    return 1.0 - at


def saddle_lifts(at: float, setback: float = 0.0) -> float:
    """Millimetres that a string rises at a place for each of height at the saddle."""
    return at / (1.0 + setback)


def saddle_for(at: float, setback: float = 0.0) -> float:
    """Millimetres at the saddle for each that the string is to rise at a place; ZeroDivisionError
    at the nut, where no saddle moves anything."""
    return (1.0 + setback) / at


def lift_sd_share(at: float, sd_log_first: float, sd_log_octave: float) -> float:
    """How surely relief's lift at a place is known, as a share of it: as over fret 1 there and
    nearer the nut, as at the octave there and beyond, in between by the place."""
    first, octave = STANDARD_HOLDS[0], 0.5
    part = min(max((at - first) / (octave - first), 0.0), 1.0)
    return sd_log_first + (sd_log_octave - sd_log_first) * part
