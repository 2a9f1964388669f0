"""One string as a weight and a spring: linear density, tension, and how stretching sharpens it.

T = μ(2Lf)² (Mersenne); κ = EA/T of the core and R = (κ - 1)/2 = d ln f / d ln L, after
Anderson & Beausoleil, J. Acoust. Soc. Am. 156(1), 683 (2024). Lengths in millimetres, density in
kilograms per metre, tension in newtons, modulus in gigapascals.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from logic.physics.sharpness import CENTS_PER_NEPER, Spring

MM = 1e-3


@dataclass(frozen=True)
class Wire:
    """A string on an instrument, at pitch; sd are one standard deviation."""

    gauge_mm: float
    kg_per_m: float
    tension_n: float
    tension_sd_n: float
    kappa: float
    kappa_sd: float
    bending: float
    """B₀ of the open string."""
    stress_mpa: float
    """Tension over the cross-section that carries it."""
    breaking_mpa: float | None
    """What that cross-section is sold to bear; None where nobody says."""

    @property
    def spring(self) -> Spring:
        """What the sharpness of a fretted note needs to know of it."""
        return Spring(self.kappa, self.bending)

    @property
    def overloaded(self) -> bool:
        """Whether it would break before it came up to pitch."""
        return self.breaking_mpa is not None and self.stress_mpa > self.breaking_mpa


def area_mm2(diameter_mm: float) -> float:
    """Cross-section of a round wire."""
    return math.pi * diameter_mm**2 / 4.0


def tension_n(kg_per_m: float, length_mm: float, hz: float) -> float:
    """Tension of a string that sounds `hz` hertz, newtons: T = μ(2Lf)²."""
    return float(kg_per_m * (2.0 * length_mm * MM * hz) ** 2)


def plain_kg_per_m(diameter_mm: float, kg_per_m3: float) -> float:
    """Linear density of a solid round string."""
    return area_mm2(diameter_mm) * MM**2 * kg_per_m3


def wound_kg_per_m(
    gauge_mm: float, core_mm: float, core_kg_per_m3: float, wrap_kg_per_m3: float, fill: float
) -> float:
    """Linear density of a core and its wrap, whose metal fills `fill` of the ring around it.

    With a single round wrap fill is π/4, which is μ = ρπd²/4 + ρ'(π²/4)·w(d + w) (from memory).
    """
    ring_mm2 = area_mm2(gauge_mm) - area_mm2(core_mm)
    return plain_kg_per_m(core_mm, core_kg_per_m3) + ring_mm2 * MM**2 * wrap_kg_per_m3 * fill


def kappa(modulus_gpa: float, core_area_mm2: float, tension_n: float) -> float:
    """Tension's relative rise over the stretch that causes it: EA/T, without a unit."""
    return modulus_gpa * 1e3 * core_area_mm2 / tension_n


def kappa_from_r(r: float) -> float:
    """κ = 2R + 1, neither of them with a unit."""
    return 2.0 * r + 1.0


def r_from_stretch(length_mm: float, stretched_mm: float, cents: float) -> float:
    """R from how far the string was drawn to rise by so many cents: (L/ΔL)·(cents/1731).

    Anderson & Beausoleil (2024) estimate it so from a whole tone over the length that sounds.
    """
    return length_mm / stretched_mm * cents / CENTS_PER_NEPER


def bending(kappa: float, radius_mm: float, length_mm: float) -> float:
    """B₀ = √κ·r/(2L), with the radius of what bends (the core of a wound steel string);
    without a unit."""
    return math.sqrt(kappa) * radius_mm / (2.0 * length_mm)


def tension_ratio(semitones: float) -> float:
    """What raising a string by so many semitones does to its tension, as a ratio: 2^(n/6), since
    T ∝ f²."""
    return float(2.0 ** (semitones / 6.0))


def by_row(rows: Sequence[Sequence[float]], size: float) -> float:
    """The value of the first row whose limit is not below `size`, in the unit of the rows; the last
    row's beyond."""
    return next((value for limit, value in rows if size <= limit + 1e-9), rows[-1][1])


def between_rows(rows: Sequence[Sequence[float]], size: float) -> float:
    """Straight-line interpolation in the units of the rows, held constant beyond both ends."""
    if size <= rows[0][0]:
        return rows[0][1]
    for (low, first), (high, second) in itertools.pairwise(rows):
        if size <= high:
            return first + (second - first) * (size - low) / (high - low)
    return rows[-1][1]
