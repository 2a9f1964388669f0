"""The neck under one string: where the frets are and how high the string stands over each.

Heights are in millimetres above the plane through the crowns of fret 1 and of the far end of the
relief; distances run from the nut. The nut's bearing point stands `nut_height_mm` (b) above that
plane and the saddle's `saddle_height_mm` (H), so that an open string stands
b + (H - b)·(1 - 2^(-n/12)) above the plane at a fret of n semitones (similar triangles). Which
semitone a fret is the board says: fret n is n semitones up on a semitone board alone.

Symbols and signs follow Anderson & Beausoleil, J. Acoust. Soc. Am. 156(1), 683 (2024).
"""

from __future__ import annotations

from dataclasses import dataclass, replace


def slot_to_clearance(semitones: float = 1.0) -> float:
    """How much of a cut at the nut arrives over a first fret of this pitch: 1 - x₁/L = 2^(-n/12),
    0.9439 of it at a semitone and 0.8909 at a whole tone."""
    return 1.0 / float(2.0 ** (semitones / 12.0))


SLOT_TO_CLEARANCE = slot_to_clearance()
"""The same on a semitone board."""


@dataclass(frozen=True)
class Neck:
    """A neck along one string; lengths in millimetres.

    `semitones` are the pitches of its frets above the open string, from this string's nut; none: a
    semitone board. `relief_mm` is the deepest gap under a straight edge laid on the crown
    `relief_from` and on the board `relief_to` semitones up; beyond the latter nothing bends it.
    `crowns_mm` holds what single crowns stand above (or, worn, below) that curve. On a zero fret
    the "nut" is that fret's crown; a string with a nut of its own (the fifth of a banjo) has its
    own shorter scale and counts frets from there.
    """

    scale_mm: float
    saddle_height_mm: float
    relief_mm: float = 0.0
    relief_from: int = 1
    relief_to: float = 14
    frets: int = 20
    saddle_setback_mm: float = 0.0
    nut_setback_mm: float = 0.0
    crowns_mm: tuple[tuple[int, float], ...] = ()
    semitones: tuple[float, ...] = ()

    def semitones_at(self, fret: int) -> float:
        """The pitch of a fret above the open string; 0 at the nut. IndexError for a fret that a
        list does not hold."""
        return self.semitones[fret - 1] if self.semitones and fret > 0 else float(fret)

    @property
    def slot_to_clearance(self) -> float:
        """How much of a cut at its slot arrives over its first fret."""
        return slot_to_clearance(self.semitones_at(1))

    def fret_mm(self, fret: int) -> float:
        """Distance from the nut to a fret, millimetres."""
        return fret_position_mm(self.scale_mm, self.semitones_at(fret))

    @property
    def _relief_end_mm(self) -> float:
        return fret_position_mm(self.scale_mm, self.relief_to)

    def crown_mm(self, fret: int) -> float:
        """Height of a crown in the plane's terms: below zero where there is relief."""
        off = sum(height for number, height in self.crowns_mm if number == fret)
        return off - self.sag_mm(fret)

    def sag_mm(self, fret: int) -> float:
        """How far relief lowers a crown: a parabola between the straight edge's two feet.

        Beyond the far foot the board, which nothing bends there, runs on along the parabola's
        tangent and so rises over the plane: the crown is lowered by less than nothing. A string
        whose own first fret lies beyond that foot has a straight board.
        """
        start, end = self.fret_mm(self.relief_from), self._relief_end_mm
        x = self.fret_mm(fret)
        if x <= start or end <= start:
            return 0.0
        if x > end:
            return -4.0 * self.relief_mm * (x - end) / (end - start)
        return 4.0 * self.relief_mm * (x - start) * (end - x) / (end - start) ** 2

    def relief_lifts(self, fret: int, *, own_nut_at: int = 0, join: float | None = None) -> float:
        """Millimetres that an open string rises over a fret for each millimetre of added relief.

        The body stays where it is and the neck bends evenly from nut to join, so that the board
        rises by 4/W²·(xⱼ - x)² and takes nut and crowns with it. Without a `join`, the semitone at
        which neck and body meet, it is taken where the straight edge ends; a string that starts at
        a fret of its own (`own_nut_at`) rides on the board there. Necks that bend unevenly differ
        by a fifth to a quarter (geometry; a builder's finite elements find the bow near a
        parabola).
        """
        span = self._relief_end_mm - self.fret_mm(self.relief_from)
        joined = self._relief_end_mm if join is None else fret_position_mm(self.scale_mm, join)
        places = (self.fret_mm(fret), joined, span, self.fret_mm(own_nut_at))
        return relief_lift(*(place / self.scale_mm for place in places))

    def relief_opens_held_gap(self, held_at: int) -> float:
        """Millimetres that the gap over fret 1 grows, while a string is held at a fret, for each
        millimetre of added relief: 4/W²·x₁·(xₕ - x₁), the bow of the board between nut and hold."""
        span = self._relief_end_mm - self.fret_mm(self.relief_from)
        first = self.fret_mm(1)
        return 4.0 * first * (self.fret_mm(held_at) - first) / span**2


def relief_lift(at: float, join: float, span: float, nut: float = 0.0) -> float:
    """`Neck.relief_lifts` of places, all shares of the scale from the common nut: where the string
    is looked at, where the neck meets the body, how far apart the holds of the relief are, and
    where the string starts."""
    carried = max(join - nut, 0.0) ** 2 * (1.0 - at) / (1.0 - nut)
    return 4.0 * (carried - max(join - at, 0.0) ** 2) / span**2


def fret_position_mm(scale_mm: float, semitones: float) -> float:
    """Distance from the nut to a fret so many semitones up: L·(1 - 2^(-n/12)).

    Anderson & Beausoleil (2024), section II.
    """
    return float(scale_mm * (1.0 - 2.0 ** (-semitones / 12.0)))


def fanned_scale_mm(treble_mm: float, bass_mm: float, place: float) -> float:
    """Scale of one string of a fan; `place` runs from 0 at the highest to 1 at the lowest."""
    return treble_mm + (bass_mm - treble_mm) * place


def neck_from_nut(neck: Neck, nut_height_mm: float, action_mm: float, at_fret: int = 12) -> Neck:
    """The same neck, with the saddle where the nut's height and the action at a fret both say.

    With the action an octave up the saddle stands at twice the action (less relief) less the nut.
    """
    far = 2.0 ** (-neck.semitones_at(at_fret) / 12)
    action = action_mm + neck.crown_mm(at_fret)
    return replace(neck, saddle_height_mm=float((action - nut_height_mm * far) / (1.0 - far)))


def neck_from_action(neck: Neck, clearance_mm: float, action_mm: float, at_fret: int = 12) -> Neck:
    """The same neck, with the saddle where the clearance and the action at a fret both say."""
    near, far = (2.0 ** (-neck.semitones_at(fret) / 12) for fret in (1, at_fret))
    first, action = clearance_mm + neck.crown_mm(1), action_mm + neck.crown_mm(at_fret)
    lever = (1.0 - near) / (1.0 - far)
    nut = float((first - action * lever) / (near - far * lever))
    return neck_from_nut(neck, nut, action_mm, at_fret)


def clearance_mm(neck: Neck, nut_height_mm: float, fret: int = 1) -> float:
    """Gap between a crown and the open string above it."""
    part = neck.fret_mm(fret) / neck.scale_mm
    string = nut_height_mm + (neck.saddle_height_mm - nut_height_mm) * part
    return string - neck.crown_mm(fret)


def nut_height_mm(neck: Neck, clearance_mm: float, fret: int = 1) -> float:
    """Height of the bearing point that gives this clearance over a fret; undoes `clearance_mm`."""
    part = neck.fret_mm(fret) / neck.scale_mm
    string = clearance_mm + neck.crown_mm(fret)
    return (string - neck.saddle_height_mm * part) / (1.0 - part)


def stopped_clearance_mm(neck: Neck, stopped_at: int, fret: int) -> float:
    """Gap over `fret` when the string is stopped, or capoed, at the lower fret `stopped_at`."""
    start, x = neck.fret_mm(stopped_at), neck.fret_mm(fret)
    rest = neck.crown_mm(stopped_at)
    part = (x - start) / (neck.scale_mm - start)
    return rest + (neck.saddle_height_mm - rest) * part - neck.crown_mm(fret)


def slot_cut_mm(clearance_drop_mm: float, semitones: float = 1.0) -> float:
    """What to take off the slot floor so that the clearance over a first fret so many semitones up
    falls by so much."""
    return clearance_drop_mm / slot_to_clearance(semitones)


def clearance_drop_mm(slot_cut_mm: float, semitones: float = 1.0) -> float:
    """How far the clearance over a fret falls for a cut at the slot floor: δ·2^(-n/12)."""
    return float(slot_cut_mm * 2.0 ** (-semitones / 12.0))


def held_gap_mm(neck: Neck, nut_height_mm: float, held_at: int) -> float:
    """Gap over fret 1 while the string is held down on the crown of fret `held_at`."""
    part = neck.fret_mm(1) / neck.fret_mm(held_at)
    string = nut_height_mm + (neck.crown_mm(held_at) - nut_height_mm) * part
    return string - neck.crown_mm(1)


def nut_height_from_held_gap_mm(neck: Neck, gap_mm: float, held_at: int) -> float:
    """Height of the bearing point from a gap while held; undoes `held_gap_mm`."""
    part = neck.fret_mm(1) / neck.fret_mm(held_at)
    string = gap_mm + neck.crown_mm(1)
    return (string - neck.crown_mm(held_at) * part) / (1.0 - part)


def clearance_from_held_gap_mm(
    gap_mm: float,
    held_at: int,
    *,
    scale_mm: float,
    saddle_height_mm: float,
    relief_mm: float = 0.0,
    relief_to: float = 14,
    semitones: tuple[float, ...] = (),
) -> float:
    """Open clearance over fret 1 from the gap there while held at fret 2, 3 or 4.

    On a semitone board the gap is 0.49, 0.65 or 0.73 of the nut's height (at 2, 3, 4), less what
    relief takes.
    A gap of zero with the string resting on the crown is only an upper bound for the clearance.
    """
    neck = Neck(scale_mm, saddle_height_mm, relief_mm, relief_to=relief_to, semitones=semitones)
    return clearance_mm(neck, nut_height_from_held_gap_mm(neck, gap_mm, held_at))


def held_gap_from_clearance_mm(
    open_clearance_mm: float,
    held_at: int,
    *,
    scale_mm: float,
    saddle_height_mm: float,
    relief_mm: float = 0.0,
    relief_to: float = 14,
    semitones: tuple[float, ...] = (),
) -> float:
    """The gap to expect over fret 1 while held; undoes `clearance_from_held_gap_mm`."""
    neck = Neck(scale_mm, saddle_height_mm, relief_mm, relief_to=relief_to, semitones=semitones)
    return held_gap_mm(neck, nut_height_mm(neck, open_clearance_mm), held_at)
