"""How the curve of board and saddle lets the middle strings stand, between the outer ones.

A circle of radius R rises over the chord between two points ±s by √(R² − z²) − √(R² − s²) at z from
the middle. A string runs straight from nut to saddle, so that over a fret at the share a of the
scale it rises over the line between the outer strings by

    (1 − a)·nut + a·saddle − board

each at the string's place there. A board whose radius grows along it is a cone; strings that spread
as their radius grows, R₂ = R₁·S₂/S₁, lie on it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from logic.bench.instrument.strung_string import place
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import fret_position_mm
from shared.instrument import Instrument, StringSpec


@dataclass(frozen=True)
class BoardCurve:
    """The curves that strings cross, by radius and spread, millimetres; flat is without bound."""

    nut_radius: float
    far_radius: float
    """Of the board where it would reach the saddle: the same on a cylinder."""
    saddle_radius: float
    nut_spread: float
    """Between the outer strings."""
    saddle_spread: float

    def lift_mm(self, across: float, at: float) -> float:
        """How far a string stands over the line between the outer ones: `across` runs from 0 at one
        outer string to 1 at the other, `at` is a share of the scale from the nut."""
        nut = bulge_mm(across, self.nut_spread, self.nut_radius)
        saddle = bulge_mm(across, self.saddle_spread, self.saddle_radius)
        board = bulge_mm(across, self._spread(at), self.radius(at))
        return (1.0 - at) * nut + at * saddle - board

    def radius(self, at: float) -> float:
        """Of the board at a share of the scale from the nut."""
        if math.isinf(self.nut_radius) or math.isinf(self.far_radius):
            return self.nut_radius
        return self.nut_radius + (self.far_radius - self.nut_radius) * at

    def _spread(self, at: float) -> float:
        return self.nut_spread + (self.saddle_spread - self.nut_spread) * at


def bulge_mm(across: float, spread_mm: float, radius_mm: float) -> float:
    """How far a circle rises over the chord between two points so far apart; `across` runs from 0
    at one to 1 at the other. ValueError where the circle does not reach so far."""
    half = spread_mm / 2.0
    if math.isinf(radius_mm):
        return 0.0
    if half > radius_mm:
        raise ValueError(f"no circle of radius {radius_mm} spans {spread_mm}")
    z = (2.0 * across - 1.0) * half
    return math.sqrt(radius_mm**2 - z**2) - math.sqrt(radius_mm**2 - half**2)


def even_saddle_radius_mm(curve: BoardCurve, at: float) -> float:
    """The saddle's radius over which every string stands at one line over the fret at `at`; to the
    second order across the board. ZeroDivisionError at the nut."""
    board, nut = curve._spread(at) ** 2 / curve.radius(at), curve.nut_spread**2 / curve.nut_radius
    return at * curve.saddle_spread**2 / (board - (1.0 - at) * nut)


def cone_radius_mm(nut_radius_mm: float, nut_spread_mm: float, spread_mm: float) -> float:
    """The radius where the strings have spread so far, of the cone on which they lie."""
    return nut_radius_mm * spread_mm / nut_spread_mm


def board_curve(instrument: Instrument, trade: TradeTables) -> BoardCurve:
    """As far as the instrument says, else as is usual on its kind."""
    usual = trade.boards.of(instrument.kind)
    saddle = instrument.saddle.spread if instrument.saddle else None
    spread = saddle.mm if saddle is not None else usual.spread_mm
    # no board is rounder than a half circle over its strings
    near, far = (max(radius, spread) for radius in _radii(instrument, trade))
    return BoardCurve(near, far, far, min(_nut_spread(instrument, trade), spread), spread)


def across(spec: StringSpec, instrument: Instrument) -> float:
    """Where a string lies between the outer ones: 0 the highest, 1 the lowest."""
    return place(spec, instrument)


def _radii(instrument: Instrument, trade: TradeTables) -> tuple[float, float]:
    """At the nut, and where the board would reach the saddle."""
    usual, measured = trade.boards.of(instrument.kind), instrument.fretboard.radius
    if isinstance(measured, tuple):
        near, last = measured[0].mm, measured[1].mm
        end = fret_position_mm(1.0, instrument.semitones_at(instrument.last_fret or usual.frets))
        return near, near + (last - near) / end
    if measured is not None:
        return measured.mm, measured.mm
    near = usual.radius_mm or math.inf
    return near, usual.radius_end_mm or near


def _nut_spread(instrument: Instrument, trade: TradeTables) -> float:
    """Between the outer strings at the nut."""
    edge = trade.layout.edge_margin_mm.of(instrument.kind)
    width = instrument.nut.width
    if width is None or width.mm <= 2 * edge:
        usual = trade.boards.of(instrument.kind)
        return usual.spread_mm * trade.setup.nut_spread_share
    return width.mm - 2 * edge
