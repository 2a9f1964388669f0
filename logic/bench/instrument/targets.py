"""Where common practice, or the technician, aims: the clearance for one string and attack."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.instrument.action import action_12_mm
from logic.bench.instrument.frets import action_fret, semitones_of
from logic.bench.instrument.presets import kinds, preset_instrument
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import fret_position_mm
from shared.board import OCTAVE
from shared.instrument import Instrument, Player, StringSpec
from shared.units import MM_PER_THOU

if TYPE_CHECKING:
    from logic.bench.tables.targets import TargetRow, Thirds


@dataclass(frozen=True)
class Aim:
    """The clearance aimed at, and how far below and above it common practice leaves a slot."""

    usual_mm: float
    """Common practice."""
    own_mm: float | None
    """The technician's or player's own figure, where there is one."""
    below_mm: float
    above_mm: float

    @property
    def target_mm(self) -> float:
        """The own figure first."""
        return self.usual_mm if self.own_mm is None else self.own_mm


def aim(spec: StringSpec, instrument: Instrument, player: Player, trade: TradeTables) -> Aim:
    """What to aim at on one string: the player's own target first, else common practice."""
    family = _family(instrument, trade)
    own = player.targets.get(spec.string)
    usual_thou = _medium_thou(spec, instrument, family) + _attack_thou(family, player)
    return Aim(
        usual_mm=over_first_fret_mm(
            usual_thou * MM_PER_THOU,
            _usual_first_fret(instrument.kind, trade),
            spec,
            instrument,
            trade,
        ),
        own_mm=own.mm if own is not None else None,
        below_mm=_below_thou(family, player) * MM_PER_THOU,
        above_mm=family.above_thou * MM_PER_THOU,
    )


def has_bowed_figures(instrument: Instrument, trade: TradeTables) -> bool:
    """Whether the table knows such an instrument under a bow."""
    return _family(instrument, trade).bowed is not None


def _attack_thou(family: TargetRow, player: Player) -> float:
    row = family.bowed if player.bowed and family.bowed else family
    return row.attack_thou[player.attack]


def _below_thou(family: TargetRow, player: Player) -> float:
    row = family.bowed if player.bowed and family.bowed else family
    return row.below_thou


def over_first_fret_mm(
    usual_mm: float,
    usual_at: float,
    spec: StringSpec,
    instrument: Instrument,
    trade: TradeTables,
) -> float:
    """How high a string that stands `usual_mm` over a place `usual_at` semitones up stands over its
    own first fret (similar triangles)."""
    here = semitones_of(spec, instrument, 1)
    octave = action_fret(spec, instrument)
    up = OCTAVE if octave is None else semitones_of(spec, instrument, octave)
    if usual_at == here or up < 2.0 * max(usual_at, here):
        return usual_mm  # so near the nut no action tells how the string rises
    first, other, far = (fret_position_mm(1.0, each) for each in (usual_at, here, up))
    action_mm = action_12_mm(spec, instrument, trade)
    return max(usual_mm + (action_mm - usual_mm) * (other - first) / (far - first), 0.0)


def _usual_first_fret(kind: str, trade: TradeTables) -> float:
    """How many semitones up the first fret lies on the usual board of this kind, over which the
    table gives what is usual."""
    if kind not in kinds(trade):
        return 1.0
    return preset_instrument(kind, trade).semitones_at(1)


def _family(instrument: Instrument, trade: TradeTables) -> TargetRow:
    """The row of the table that speaks of this kind of instrument, on such a board."""
    table, bare = trade.targets, not instrument.fretted
    listed = (
        family
        for family in table.families
        if instrument.kind in family.kinds and family.bare_board is bare
    )
    return next(listed, table.fretless if bare else table.otherwise)


def _medium_thou(spec: StringSpec, instrument: Instrument, family: TargetRow) -> float:
    listed = family.target_thou.get(course_of(spec))
    return _by_third(spec, instrument, family.thirds_thou) if listed is None else listed


def _by_third(spec: StringSpec, instrument: Instrument, thirds: Thirds) -> float:
    """For a string the table does not list: by its place between the highest and the lowest."""
    courses = sorted({course_of(other) for other in instrument.strings})
    place = (courses.index(course_of(spec)) + 0.5) / len(courses)
    if place < 1 / 3:
        return thirds.highest
    return thirds.middle if place < 2 / 3 else thirds.lowest


def course_of(spec: StringSpec) -> int:
    """The course a string belongs to; a single string is a course of its own."""
    return spec.course if spec.course is not None else spec.string
