"""How strings are played and pressed: `assets/attack.json`."""

from __future__ import annotations

from typing import Annotated

from logic.bench.tables.vocabulary import Strength
from shared.instrument import Attack
from shared.table import EACH_KIND_ONCE, Figure, Figures, RangedFigure, Row, SourcedRow, Table


class PlayingFamily(SourcedRow):
    """How instruments of these kinds are plucked at medium attack."""

    name: str
    kinds: tuple[str, ...]
    from_bridge_mm: float
    force_n: float
    """The part of a pluck at right angles to the board that nine of ten plucks stay under."""


class FingerFigures(Row):
    """The usual fingertip."""

    behind_mm: RangedFigure
    """Behind the fret."""
    push_mm: RangedFigure
    """Below the crown."""


class BudgetFigures(Figures):
    """How sharp fret 1 may be where the player has not said."""

    beat_hz: Figure[float]
    """Beats a second against the right note."""
    least_cents: Figure[float]
    most_cents: Figure[float]


class TriedChanges(SourcedRow):
    """The single changes that are tried where no clearance is both clean and in tune."""

    thicker_by_factor: float
    more_relief_mm: float
    more_cents: float
    semitones_up: int


class AttackTable(Table):
    """How strings are played and pressed. Forces are at right angles to the board, newtons."""

    families: Annotated[tuple[PlayingFamily, ...], EACH_KIND_ONCE]
    clean_share: Figure[float]
    """Of plucks that must stay clean."""
    calibrated_under_target_thou: Figure[float]
    """How far under its target the most demanding string of a family has its low edge."""
    pluck_sd_log: Figure[float]
    """How one player's plucks differ."""
    player_sd_log: Figure[float]
    """How players of one attack differ."""
    attack_share: Figure[dict[Attack, float]]
    """Of the medium force."""
    strength_share: Figure[dict[Strength, float]]
    """Of the player's usual force."""
    relief_sd_share: Figure[float]
    """Of the usual relief, where none was measured."""
    relief_measured_sd_mm: Figure[float]
    action_sd_mm: Figure[float]
    quality_factor: Figure[float]
    """Of a low partial, at the least."""
    finger: FingerFigures
    budget: BudgetFigures
    well_known_sd_mm: Figure[float]
    """A clearance known worse than this teaches nothing about the plucks."""
    tried: TriedChanges
    neck_from_fret: Figure[int]
    """A string that first touches here or above asks for relief and action before the nut."""
    inside_thou: Figure[float]
    """How far a target keeps clear of either edge."""
