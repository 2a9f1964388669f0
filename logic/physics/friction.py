"""How much tension a bearing can hold back, and what that is in cents."""

from __future__ import annotations

import math


def held_ratio(friction: float, break_angle_deg: float) -> float:
    """Tension on one side of a bearing over that on the other: e^(μθ), without a unit, as is μ.

    Groves & Kemp, Archives of Acoustics (2019), bound μ by 0.26 for wound and 0.17 for plain
    strings.
    """
    return math.exp(friction * math.radians(break_angle_deg))


def held_cents(friction: float, break_angle_deg: float) -> float:
    """How far the pitch may jump when a string that sticks in its slot lets go: 600·log₂ of it,
    cents."""
    return 600.0 * math.log2(held_ratio(friction, break_angle_deg))
