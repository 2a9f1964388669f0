"""How sharp a fretted note is, in cents, with the open string in tune: against the pitch that the
board gives its fret, which on a semitone board is that of equal temperament.

The four-term model of Anderson & Beausoleil, J. Acoust. Soc. Am. 156(1), 683 (2024), sections II
to IV: the sounding length, the thinning of the string, its tension and its bending stiffness.
Beyond the paper, the fingertip may push the string further below the crown behind the fret than
the straight line from saddle over crown goes (`push_mm`; zero gives the paper's own formula).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from logic.physics.neck import Neck, clearance_mm, nut_height_mm

CENTS_PER_NEPER = 1200.0 / math.log(2.0)
"""1731.234: cents for a small relative change of frequency."""
HIGHEST_NUT_MM = 10.0
"""No nut stands higher over the crowns."""
CLOSE_CENTS = 1e-9
"""Far finer than any ear, so that a clearance and its cents give each other back."""
_SECOND_ORDER = 1.0 + math.pi**2 / 2.0


@dataclass(frozen=True)
class Spring:
    """What the string's material adds: κ = EA/T of the core, and B₀ = √κ·r/(2L) of bending."""

    kappa: float
    bending: float


@dataclass(frozen=True)
class Finger:
    """Where the fingertip kinks the string: `behind_mm` behind the fret (d in the paper), and
    `push_mm` below the line that the string would take over the crown."""

    behind_mm: float = 0.0
    push_mm: float = 0.0


@dataclass(frozen=True)
class Cents:
    """The four terms of a fretted note's error, in cents."""

    length: float
    density: float
    tension: float
    stiffness: float

    @property
    def total(self) -> float:
        """Their sum."""
        return self.length + self.density + self.tension + self.stiffness


@dataclass(frozen=True)
class _Paths:
    """String lengths, millimetres: open, sounding, and all of the fretted string."""

    open_mm: float
    sounding_mm: float
    fretted_mm: float

    @property
    def stretch(self) -> float:
        """Fractional elongation Q of the whole string."""
        return (self.fretted_mm - self.open_mm) / self.open_mm


def stretch(neck: Neck, nut_height_mm: float, fret: int, finger: Finger = Finger()) -> float:
    """Fractional elongation Q when the string is held down at a fret (section II), without a
    unit."""
    return _paths(neck, nut_height_mm, fret, finger).stretch


def cents_sharp(
    neck: Neck, nut_height_mm: float, fret: int, spring: Spring, finger: Finger = Finger()
) -> Cents:
    """The four terms at a fret for a nut of this height (section III)."""
    paths = _paths(neck, nut_height_mm, fret, finger)
    return _terms(paths, neck.semitones_at(fret), spring)


def cents_at_clearance(
    neck: Neck, open_clearance_mm: float, fret: int, spring: Spring, finger: Finger = Finger()
) -> float:
    """Cents sharp at a fret when the open string stands so high over fret 1."""
    return cents_sharp(neck, nut_height_mm(neck, open_clearance_mm), fret, spring, finger).total


def clearance_from_cents(
    cents: float, fret: int, *, neck: Neck, spring: Spring, finger: Finger = Finger()
) -> float | None:
    """The clearance over fret 1 that explains a sharpness at a fret, millimetres.

    None when the note is flatter than with a nut at crown height or below, or sharper than 10 mm
    of nut could make it: height alone then does not explain it.
    """

    def off(nut_mm: float) -> float:
        return _total(neck, nut_mm, fret, spring, finger) - cents

    low, high = lowest_explained_mm(neck, fret, finger), HIGHEST_NUT_MM
    below, above = off(low), off(high)
    if not below <= 0.0 <= above:
        return None
    return clearance_mm(neck, _crossing(off, (low, below), (high, above)))


def _crossing(
    off: Callable[[float], float], low: tuple[float, float], high: tuple[float, float]
) -> float:
    """Where a rising function crosses zero between two points, by the Illinois rule."""
    side = 0
    for _ in range(60):
        x = high[0] - high[1] * (high[0] - low[0]) / (high[1] - low[1])
        y = off(x)
        if abs(y) < CLOSE_CENTS:
            return x
        if y < 0.0:
            low, high = (x, y), (high[0], high[1] / 2.0 if side < 0 else high[1])
        else:
            low, high = (low[0], low[1] / 2.0 if side > 0 else low[1]), (x, y)
        side = -1 if y < 0.0 else 1
    return x


def lowest_explained_mm(neck: Neck, fret: int, finger: Finger = Finger()) -> float:
    """The nut height at which fretting stretches the string least: below it the model turns round.

    There the string behind the finger slopes as the open string does.
    """
    crown = neck.crown_mm(fret)
    reach = neck.scale_mm - neck.fret_mm(fret) + neck.saddle_setback_mm
    kink = (neck.saddle_height_mm - crown) * finger.behind_mm / reach + finger.push_mm
    behind = neck.fret_mm(fret) + neck.nut_setback_mm - finger.behind_mm
    part = behind / (neck.scale_mm + neck.saddle_setback_mm + neck.nut_setback_mm)
    return (crown - kink - neck.saddle_height_mm * part) / (1.0 - part)


def position_cents(
    error_mm: float, scale_mm: float, semitones: float, *, saddle_moved: bool
) -> float:
    """Cents sharp, at a fret so many semitones up, from a nut that stands `error_mm` too far from
    fret 1.

    The same at every fret until the saddle is moved to put the octave right; after that
    1731·e/L·(2 - 2^(n/12)), which fades up the neck as height does.
    """
    share = 2.0 - 2.0 ** (semitones / 12.0) if saddle_moved else 1.0
    return CENTS_PER_NEPER * error_mm / scale_mm * share


def saddle_set(
    neck: Neck,
    nut_height_mm: float,
    spring: Spring,
    finger: Finger = Finger(),
    *,
    in_tune_at: int = 12,
) -> Neck:
    """The same neck with its saddle moved back or forth until a fret is in tune (Newton's rule).

    A saddle further away flattens a fret by 1731·(γ - 1)/L cents a millimetre, so a few steps do.
    """
    gamma = 2.0 ** (neck.semitones_at(in_tune_at) / 12.0)
    slope = CENTS_PER_NEPER * (gamma - 1.0) / neck.scale_mm
    for _ in range(6):
        off = _total(neck, nut_height_mm, in_tune_at, spring, finger)
        neck = replace(neck, saddle_setback_mm=neck.saddle_setback_mm + off / slope)
    return neck


def _total(neck: Neck, nut_mm: float, fret: int, spring: Spring, finger: Finger) -> float:
    return cents_sharp(neck, nut_mm, fret, spring, finger).total


def _paths(neck: Neck, nut_mm: float, fret: int, finger: Finger) -> _Paths:
    """L₀, L_n and L_n + L'_n of section II, measured from the fret's own crown."""
    crown = neck.crown_mm(fret)
    reach = neck.scale_mm - neck.fret_mm(fret) + neck.saddle_setback_mm
    fall = neck.saddle_height_mm - crown
    whole = neck.scale_mm + neck.saddle_setback_mm + neck.nut_setback_mm
    open_mm = math.hypot(whole, neck.saddle_height_mm - nut_mm)
    sounding = math.hypot(reach, fall)
    kink = fall * finger.behind_mm / reach + finger.push_mm
    behind = neck.fret_mm(fret) + neck.nut_setback_mm - finger.behind_mm
    rest = math.hypot(finger.behind_mm, kink) + math.hypot(behind, nut_mm - crown + kink)
    return _Paths(open_mm, sounding, sounding + rest)


def _terms(paths: _Paths, semitones: float, spring: Spring) -> Cents:
    gamma = 2.0 ** (semitones / 12.0)
    q = paths.stretch
    pull = 1.0 + spring.kappa * q
    bending = spring.bending * paths.open_mm / paths.sounding_mm / math.sqrt(pull)
    return Cents(
        length=1200.0 * math.log2(paths.open_mm / (gamma * paths.sounding_mm)),
        density=600.0 * math.log2(1.0 + q),
        tension=600.0 * math.log2(pull),
        stiffness=1200.0 * math.log2(_bent(bending) / _bent(spring.bending)),
    )


def _bent(bending: float) -> float:
    """The fundamental's rise by bending: 1 + B + (1 + π²/2)B²."""
    return 1.0 + bending + _SECOND_ORDER * bending**2
