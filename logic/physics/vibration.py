"""How far an open string swings towards the frets, and what it then touches.

A string plucked at one place starts as a triangle and is, half a period later, that triangle
reflected through its middle point (d'Alembert; from memory, and any acoustics text): plucked away
from the board near the bridge, it comes back towards the board near the nut, and further than it
started. For a fret between the nut and the mirrored plucking place the swing is A·x/p, with A the
height of the pluck, x the distance from the nut and p the pluck's from the bridge.

Real strings stray a little from that to either side; `swing_bounds_mm` says how far. Distances in
millimetres, force in newtons.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from logic.physics.neck import Neck, clearance_mm

_AHEAD_NEAR, _AHEAD = 1.25, 8.0
"""How far short waves run ahead on a stiff string: by ℓ/x near the nut, by B₀ everywhere."""
_ROUNDED, _ROUNDED_BY_DAMPING = 8.0, 5.0
"""How much of the corner stiffness takes, by B₀, and damping, by 1/Q."""


@dataclass(frozen=True)
class Pluck:
    """A pluck of `height_mm` towards or from the board, `from_bridge_mm` from the saddle."""

    height_mm: float
    from_bridge_mm: float


def pluck_height_mm(
    force_n: float, from_bridge_mm: float, tension_n: float, length_mm: float
) -> float:
    """How far a force draws the string aside: A = F·p(L - p)/(T·L)."""
    return force_n * from_bridge_mm * (length_mm - from_bridge_mm) / (tension_n * length_mm)


def pluck_stiffness_n_per_mm(from_bridge_mm: float, tension_n: float, length_mm: float) -> float:
    """Force per millimetre of pluck, s = TL/[p(L - p)] (Zollner & Zwicker, section 1.5.1)."""
    return tension_n * length_mm / (from_bridge_mm * (length_mm - from_bridge_mm))


def shape_mm(pluck: Pluck, length_mm: float, x_mm: float, periods: float) -> float:
    """Where the ideal string is, `periods` after it was let go, at x from the nut.

    Half the sum of two triangles that run apart (d'Alembert); positive on the side it was drawn to.
    """
    run = 2.0 * length_mm * periods
    one, other = (_triangle(pluck, length_mm, x_mm + step) for step in (run, -run))
    return (one + other) / 2.0


def swing_mm(pluck: Pluck, length_mm: float, x_mm: float) -> float:
    """The furthest the ideal string goes to the far side at x from the nut, in a whole period."""
    if not 0.0 <= x_mm <= length_mm:
        return 0.0
    near, far = x_mm / pluck.from_bridge_mm, (length_mm - x_mm) / (length_mm - pluck.from_bridge_mm)
    return pluck.height_mm * min(near, far)


def swing_bounds_mm(
    pluck: Pluck, length_mm: float, x_mm: float, *, bending: float, quality: float
) -> tuple[float, float]:
    """The least and the most that a real string can swing at x, about the ideal one's swing.

    Least: a clamped end holds the string straight over ℓ = √(EI/T) = B₀L, which takes
    ℓ(1 - e^(-x/ℓ)) off the lever x, and the corner that runs along the string is rounded by
    stiffness and by damping (quality factor Q). Most: short waves run ahead on a stiff string and
    reach a little further. Rounding and running ahead are fitted to the string's modes summed (the
    tests sum them).
    """
    ideal, held = swing_mm(pluck, length_mm, x_mm), bending * length_mm
    lost = math.exp(-_ROUNDED_BY_DAMPING / quality)
    if held <= 0.0 or x_mm <= 0.0:
        return ideal * lost, ideal
    lever = 1.0 + held * math.expm1(-x_mm / held) / x_mm
    least = ideal * lever * lost * max(1.0 - _ROUNDED * bending, 0.0)
    return least, ideal * (1.0 + _AHEAD_NEAR * held / x_mm + _AHEAD * bending)


@dataclass(frozen=True)
class FirstTouch:
    """The pluck at which an open string first touches, and the fret it touches."""

    height_mm: float
    fret: int


def first_touch(neck: Neck, nut_height_mm: float, from_bridge_mm: float) -> FirstTouch:
    """How high the string may be plucked before it touches any fret, and which that is."""
    unit = Pluck(1.0, from_bridge_mm)
    touches = (
        FirstTouch(clearance_mm(neck, nut_height_mm, fret) / swing_mm(unit, neck.scale_mm, x), fret)
        for fret, x in _crowns(neck)
    )
    return min(touches, key=lambda touch: touch.height_mm)


@dataclass(frozen=True)
class Need:
    """The nut height that keeps a pluck clear of every fret, and the fret that asks for it."""

    nut_height_mm: float
    fret: int


def needed_nut(neck: Neck, pluck: Pluck) -> Need:
    """The least nut height at which this pluck touches nothing: the most that any fret asks for.

    At fret n: b = (crown + swing - H·x/L)/(1 - x/L).
    """
    return max(
        (
            Need(_needed_mm(neck, fret, x, swing_mm(pluck, neck.scale_mm, x)), fret)
            for fret, x in _crowns(neck)
        ),
        key=lambda need: need.nut_height_mm,
    )


def _needed_mm(neck: Neck, fret: int, x_mm: float, swing_mm: float) -> float:
    part = x_mm / neck.scale_mm
    return (neck.crown_mm(fret) + swing_mm - neck.saddle_height_mm * part) / (1.0 - part)


def _crowns(neck: Neck) -> list[tuple[int, float]]:
    return [(fret, neck.fret_mm(fret)) for fret in range(1, neck.frets + 1)]


def _triangle(pluck: Pluck, length_mm: float, x_mm: float) -> float:
    """The starting shape, continued oddly about both ends."""
    x = math.fmod(x_mm, 2.0 * length_mm)
    x += 2.0 * length_mm if x < 0.0 else 0.0
    if x > length_mm:
        return -_triangle(pluck, length_mm, 2.0 * length_mm - x)
    from_bridge = length_mm - x
    if from_bridge <= pluck.from_bridge_mm:
        return pluck.height_mm * from_bridge / pluck.from_bridge_mm
    return pluck.height_mm * x / (length_mm - pluck.from_bridge_mm)
