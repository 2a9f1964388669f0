"""A new nut: where each slot goes, how wide it is and how high its floor stands.

Positions run from the bass-side edge of the nut, along the nut. With S the distance between the
outer sides of the outer strings, equal gaps are g = (S − Σ diameters)/(number of gaps); strings of
a pair keep their own small gap and count as one (pure geometry).

The crown plane is the straight line through the crowns of fret 1 and of the octave (frets 1 and 12
on a semitone board), drawn on to the nut. A string is straight, so with clearances C₁ and C₁₂ over
those frets its underside leaves the nut at C₁ + (C₁ − C₁₂)·x₁/(x₁₂ − x₁) above that line, whatever
the relief (similar triangles).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import octave_name
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.string_window import windows
from logic.physics.neck import fret_position_mm
from shared.amounts import LaidOff
from shared.board import OCTAVE, SEMITONE_BOARD, Board
from shared.errors import InputError
from shared.instrument import Instrument, Make, NutType, Player, StringSpec
from shared.units import MM_PER_INCH, Length
from shared.words import in_words, mark, say

if TYPE_CHECKING:
    from logic.bench.tables.by_kind import LengthByKind
    from logic.bench.tables.layout import LayoutTable

_NOT_CUT = {
    NutType.CLAMPING: mark("a clamping nut is bought with its slots; lay out a slotted one"),
    NutType.ROLLER: mark("a roller nut is bought with its slots; lay out a slotted one"),
    NutType.ZERO_FRET: mark(
        "a zero fret sets the height; for the spacing alone lay out a slotted one, "
        "and cut its floors below the crown"
    ),
}
_PLAIN = (Make.PLAIN_STEEL, Make.NYLON, Make.FLUOROCARBON, Make.GUT)


class Spacing(StrEnum):
    """What is kept equal across the nut."""

    EQUAL_GAPS = "equal gaps"
    GRADUATED = "graduated"
    EQUAL_CENTRES = "equal centres"


@dataclass(frozen=True)
class SlotPlace:
    """One slot: its centre from the bass-side edge, its width along the nut, the height of its
    floor above the crown plane, and how deep it is below the top of the nut; millimetres."""

    string: int
    gauge_mm: float
    centre_mm: float
    width_mm: float
    floor_mm: float
    slot_depth_mm: float


@dataclass(frozen=True)
class NutLayout:
    """Every slot from the bass side to the treble side, and what was decided for them."""

    nut_width_mm: float
    spacing: Spacing
    slots: tuple[SlotPlace, ...]
    bass_margin_mm: float
    treble_margin_mm: float
    slant_deg: float = 0.0
    left_handed: bool = False

    @property
    def gaps_mm(self) -> tuple[float, ...]:
        """Between the facing sides of neighbouring strings, bass to treble."""
        lean = math.cos(math.radians(self.slant_deg))
        return tuple(
            b.centre_mm - a.centre_mm - (a.gauge_mm + b.gauge_mm) / 2 / lean
            for a, b in pairwise(self.slots)
        )


@dataclass(frozen=True)
class Wishes:
    """What the technician asks of a layout; what is None follows common practice."""

    spacing: Spacing = Spacing.EQUAL_GAPS
    bass_margin_mm: float | None = None
    treble_margin_mm: float | None = None
    pair_gap_mm: float | None = None
    square_fret: float | None = None


def lay_out(
    instrument: Instrument, player: Player, trade: TradeTables, wishes: Wishes = Wishes()
) -> NutLayout:
    """The new nut of this instrument for this player.

    InputError when no width is known, when the strings do not fit into it, when none crosses it, or
    when the nut is of a type that is not cut.
    """
    if instrument.nut.type in _NOT_CUT:
        ask = _NOT_CUT[instrument.nut.type]
        raise InputError("instrument.nut.type", instrument.nut.type.value, ask)
    table = trade.layout
    strings = nut_strings(instrument)
    if not strings:
        ask = say("every string has a nut of its own: write from_fret 0 for one that crosses it")
        raise InputError("instrument.strings", "", ask, what=say("none crosses the common nut"))
    width = _nut_width_mm(instrument)
    slant = slant_deg(instrument, width, wishes.square_fret or table.square_fret)
    along = 1 / math.cos(math.radians(slant))
    bass, treble = _margins(instrument.kind, wishes, table)
    courses = _courses(strings, along)
    pair_gap = _by_kind(table.pair_gap_mm, instrument.kind, wishes.pair_gap_mm)
    available_mm = width - bass - treble
    centres = _centres(courses, available_mm, pair_gap, wishes.spacing, table.graded_by_mm)
    slots = _slots(strings, [bass + c for c in centres], along, instrument, player, trade)
    layout = NutLayout(width, wishes.spacing, slots, bass, treble, slant, instrument.left_handed)
    _check_fit(layout, [len(course) for course in courses], table)
    return layout


def filled_in(wishes: Wishes, kind: str, trade: TradeTables) -> Wishes:
    """`wishes` with what was not asked for as common practice has it."""
    table = trade.layout
    bass, treble = _margins(kind, wishes, table)
    pair_gap = _by_kind(table.pair_gap_mm, kind, wishes.pair_gap_mm)
    return replace(wishes, bass_margin_mm=bass, treble_margin_mm=treble, pair_gap_mm=pair_gap)


def nut_strings(instrument: Instrument) -> tuple[StringSpec, ...]:
    """The strings that cross the common nut, bass side first."""
    shared = (spec for spec in instrument.strings if not spec.from_fret)
    return tuple(sorted(shared, key=lambda spec: -spec.string))


def slant_deg(instrument: Instrument, nut_width_mm: float, square_fret: float) -> float:
    """How far a fanned nut leans from square, degrees; 0 for one scale length.

    The place `square_fret` semitones up lies square under both outer strings, so at the nut the
    longer one starts (difference of scales)·(1 − 2^(−n/12)) further out. InputError where the
    scales differ too much for this nut.
    """
    treble, bass = _outer_scales(instrument)
    if treble == bass:
        return 0.0
    lead = (bass.mm - treble.mm) * (1 - 2 ** (-square_fret / 12))
    if abs(lead) >= nut_width_mm:
        raise InputError(
            "instrument.scale_bass" if instrument.scale_bass else "instrument.strings",
            f"{bass}",
            say(
                "give the scale of the lowest string; on a fanned neck it is a few per cent longer"
            ),
            what=say("the two scales differ too much for a nut this wide"),
        )
    return math.degrees(math.asin(lead / nut_width_mm))


def _outer_scales(instrument: Instrument) -> tuple[Length, Length]:
    """Of the highest and the lowest string on the common nut: their own where they have them, else
    the instrument's and its fan's."""
    strings = nut_strings(instrument)
    highest, lowest = (strings[-1].scale, strings[0].scale) if strings else (None, None)
    return highest or instrument.scale, lowest or instrument.scale_bass or instrument.scale


def floor_mm(clearance_mm: float, action_mm: float, board: Board = SEMITONE_BOARD) -> float:
    """Height of the slot floor above the crown plane that gives this first-fret clearance, with
    this action an octave up; on a board with one fret alone, half-way along the string."""
    octave = board.semitones_at(board.octave_fret) if board.octave_fret > 1 else OCTAVE
    first, far = (fret_position_mm(1.0, up) for up in (board.semitones_at(1), octave))
    return clearance_mm + (clearance_mm - action_mm) * first / (far - first)


def action_of(instrument: Instrument, string: int) -> float:
    """Action an octave up of one string, millimetres, by straight lines between those known.

    InputError when none is known."""
    known = sorted((number, length.mm) for number, length in instrument.action_12.items())
    if not known:
        raise InputError(
            "instrument.action_12",
            "nothing",
            say(
                "measure the action at fret {fret} of the outer strings; slot depth hangs on it",
                fret=octave_name(instrument.fretboard),
            ),
        )
    below = [row for row in known if row[0] <= string] or known[:1]
    above = [row for row in known if row[0] >= string] or known[-1:]
    (low, low_mm), (high, high_mm) = below[-1], above[0]
    share = (string - low) / (high - low) if high != low else 0.0
    return low_mm + (high_mm - low_mm) * share


def is_wound(spec: StringSpec) -> bool:
    """Whether the string is wound, and so lies half buried."""
    return spec.make not in _PLAIN


def _nut_width_mm(instrument: Instrument) -> float:
    if instrument.nut.width is None or instrument.nut.width.mm <= 0:
        ask = say('say how wide the nut is: "43 mm"')
        raise InputError("instrument.nut.width", instrument.nut.width, ask)
    return instrument.nut.width.mm


def _by_kind(usual: LengthByKind, kind: str, wished: float | None) -> float:
    return usual.of(kind) if wished is None else wished


def _margins(kind: str, wishes: Wishes, table: LayoutTable) -> tuple[float, float]:
    usual = table.edge_margin_mm
    bass = _by_kind(usual, kind, wishes.bass_margin_mm)
    treble = _by_kind(usual, kind, wishes.treble_margin_mm)
    if bass < 0 or treble < 0:
        ask = say("a margin is the distance in from the edge")
        raise InputError("margin", min(bass, treble), ask)
    return bass, treble


def _courses(strings: Sequence[StringSpec], along: float) -> list[list[float]]:
    """Diameters along the nut, bass side first, strings of one course together."""
    courses: list[list[float]] = []
    last: int | None = None
    for spec in strings:
        if spec.course is None or spec.course != last:
            courses.append([])
        courses[-1].append(spec.gauge.mm * along)
        last = spec.course
    return courses


def _centres(
    courses: list[list[float]], available_mm: float, pair_gap: float, spacing: Spacing, grade: float
) -> list[float]:
    """Centres of all strings from the outer side of the bass string, over `available_mm`."""
    spans = [sum(course) + pair_gap * (len(course) - 1) for course in courses]
    starts = _starts(spans, available_mm, spacing, grade)
    centres = []
    for course, start in zip(courses, starts, strict=True):
        edge = start
        for diameter in course:
            centres.append(edge + diameter / 2)
            edge += diameter + pair_gap
    return centres


def _starts(spans: list[float], available_mm: float, spacing: Spacing, grade: float) -> list[float]:
    """Where each course begins."""
    count = len(spans) - 1
    if count < 1:
        return [(available_mm - sum(spans)) / 2]
    if spacing is Spacing.EQUAL_CENTRES:
        pitch = (available_mm - (spans[0] + spans[-1]) / 2) / count
        return [spans[0] / 2 + i * pitch - span / 2 for i, span in enumerate(spans)]
    gap = (available_mm - sum(spans)) / count
    step = grade if spacing is Spacing.GRADUATED else 0.0
    gaps = [gap + step * ((count - 1) / 2 - i) for i in range(count)]
    return [sum(spans[:i]) + sum(gaps[:i]) for i in range(count + 1)]


def _slots(
    strings: Sequence[StringSpec],
    centres: list[float],
    along: float,
    instrument: Instrument,
    player: Player,
    trade: TradeTables,
) -> tuple[SlotPlace, ...]:
    aims = windows(instrument, player, trade)
    table = trade.layout
    over_mm = table.slot_over_gauge_in * MM_PER_INCH
    return tuple(
        SlotPlace(
            string=spec.string,
            gauge_mm=spec.gauge.mm,
            centre_mm=centre,
            width_mm=(spec.gauge.mm + over_mm) * along,
            floor_mm=floor_mm(
                aims[spec.string].target_mm,
                action_of(instrument, spec.string),
                instrument.fretboard,
            ),
            slot_depth_mm=spec.gauge.mm * _buried_share(spec, table),
        )
        for spec, centre in zip(strings, centres, strict=True)
    )


def _buried_share(spec: StringSpec, table: LayoutTable) -> float:
    return table.buried_share_wound if is_wound(spec) else table.buried_share_plain


def _check_fit(layout: NutLayout, courses: list[int], table: LayoutTable) -> None:
    """InputError when neighbouring strings come too close, or leave the nut."""
    ends = set(accumulate(courses))
    least = (
        table.least_course_gap_mm if i in ends else table.least_gap_mm
        for i in range(1, len(layout.slots))
    )
    gaps = layout.gaps_mm
    fits = all(gap >= limit for gap, limit in zip(gaps, least, strict=True))
    available_mm = layout.nut_width_mm - layout.bass_margin_mm - layout.treble_margin_mm
    if not fits or available_mm <= 0:
        raise InputError(
            "instrument.nut.width",
            in_words(LaidOff(Length.of(layout.nut_width_mm))),
            say("take smaller margins, a smaller gap within pairs, or a wider nut"),
            what=say(
                "{count} strings do not fit: the tightest gap is {gap}",
                count=len(layout.slots),
                gap=LaidOff(Length.of(min(gaps, default=available_mm))),
            ),
        )
