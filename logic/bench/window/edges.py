"""The two edges of a string's window, from physics, with how far each may be off (sd).

Low: the least clearance at which nine of ten of this player's plucks touch no fret, and at which
the open string does not lie below the plane of the crowns (Woodhouse, Euphonics, section 5.4, for
the shapes of the plucked string; see `logic.physics.vibration`). High: the clearance at which the
note at fret 1 is sharp by the player's budget (Anderson & Beausoleil 2024).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from logic.bench.instrument.strung_string import StrungString, strung_string
from logic.bench.instrument.targets import aim
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.attack import PluckForces
from logic.physics.neck import clearance_mm
from logic.physics.sharpness import lowest_explained_mm
from logic.physics.vibration import (
    Pluck,
    needed_nut,
    pluck_height_mm,
    swing_bounds_mm,
    swing_mm,
)
from shared.instrument import Instrument, Player, StringSpec
from shared.units import MM_PER_THOU


@dataclass(frozen=True)
class Edge:
    """A clearance over fret 1 and its standard deviation, millimetres."""

    clearance_mm: float
    sd_mm: float


@dataclass(frozen=True)
class LowEdge(Edge):
    """Where the open string stays clean, and the fret that asks for it (0: the crown plane)."""

    fret: int


@dataclass(frozen=True)
class WindowEdges:
    """Both edges of one string, and what they were found for."""

    strung: StrungString
    low: LowEdge
    high: Edge
    allowed_cents: float

    @property
    def meet(self) -> bool:
        """Whether any clearance is both clean and in tune."""
        return self.low.clearance_mm <= self.high.clearance_mm


@dataclass(frozen=True)
class Playing:
    """An instrument under one player's hands."""

    instrument: Instrument
    player: Player
    plucks: PluckForces
    trade: TradeTables


def edges_of(spec: StringSpec, playing: Playing) -> WindowEdges:
    """Both edges of one string for this player's plucks and budget."""
    instrument, trade = playing.instrument, playing.trade
    standing = aim(spec, instrument, Player(), trade).usual_mm
    string = strung_string(spec, instrument, trade, standing)
    force = playing.plucks.force_n(trade.attack.clean_share)
    allowed = allowed_cents(playing.player, spec.pitch.hz(instrument.a4_hz), trade)
    return WindowEdges(
        strung=string,
        low=low_edge(string, force, playing.plucks.from_bridge_mm, trade),
        high=high_edge(string, allowed, trade),
        allowed_cents=allowed,
    )


def low_edge(
    strung_string: StrungString, force_n: float, from_bridge_mm: float, trade: TradeTables
) -> LowEdge:
    """The least clean clearance for a pluck of this force.

    Its sd carries relief, action, tension, how a real string strays from the ideal one, and how
    far good technicians differ.
    """
    model_sd_mm = trade.targets.edge_sd_thou * MM_PER_THOU
    neck, wire = strung_string.neck, strung_string.wire
    best, fret = _lowest_mm(strung_string, force_n, from_bridge_mm)
    bowed = replace(neck, relief_mm=neck.relief_mm + strung_string.relief_sd_mm)
    # the saddle moves twice as far as the action an octave up
    raised = replace(
        neck, saddle_height_mm=neck.saddle_height_mm + 2.0 * strung_string.action_sd_mm
    )
    stray = _stray(strung_string, from_bridge_mm, trade.attack.quality_factor)
    slack = force_n * (1.0 + math.hypot(wire.tension_sd_n / wire.tension_n, stray))
    moved = (
        _lowest_mm(replace(strung_string, neck=bowed), force_n, from_bridge_mm),
        _lowest_mm(replace(strung_string, neck=raised), force_n, from_bridge_mm),
        _lowest_mm(strung_string, slack, from_bridge_mm),
    )
    return LowEdge(best, math.hypot(model_sd_mm, *(other - best for other, _ in moved)), fret)


def high_edge(strung_string: StrungString, allowed_cents: float, trade: TradeTables) -> Edge:
    """The clearance at which fret 1 is sharp by the budget; infinite where it never is.

    Where even a nut level with the fingertip is sharper, that nut is the edge. The sd carries the
    string's stiffness and the fingertip's place.
    """
    best = _sharp_mm(strung_string, allowed_cents)
    if math.isinf(best):
        return Edge(best, 0.0)
    finger = trade.attack.finger.behind_mm
    nearer = (finger.high - finger.low) / 4.0
    stiffer = replace(
        strung_string.wire, kappa=strung_string.wire.kappa + strung_string.wire.kappa_sd
    )
    tip = replace(strung_string.finger, behind_mm=max(strung_string.finger.behind_mm - nearer, 0.0))
    moved = (
        _sharp_mm(replace(strung_string, wire=stiffer), allowed_cents),
        _sharp_mm(replace(strung_string, finger=tip), allowed_cents),
    )
    return Edge(best, math.hypot(*(other - best for other in moved if math.isfinite(other))))


def allowed_cents(player: Player, hz: float, trade: TradeTables) -> float:
    """How sharp fret 1 may be: the player's own figure, else what beats once a second against the
    right note, between five and ten cents."""
    if player.budget_cents is not None:
        return player.budget_cents
    budget = trade.attack.budget
    beating = 1200.0 * math.log2(1.0 + budget.beat_hz / hz)
    return min(max(beating, budget.least_cents), budget.most_cents)


def _lowest_mm(
    strung_string: StrungString, force_n: float, from_bridge_mm: float
) -> tuple[float, int]:
    """The clearance that clears the pluck, and the fret that decides."""
    neck = strung_string.neck
    place = min(from_bridge_mm, neck.scale_mm / 2.0)
    height = pluck_height_mm(force_n, place, strung_string.wire.tension_n, neck.scale_mm)
    need = needed_nut(neck, Pluck(height, place))
    if need.nut_height_mm <= 0.0:
        return clearance_mm(neck, 0.0), 0
    return clearance_mm(neck, need.nut_height_mm), need.fret


def _sharp_mm(strung_string: StrungString, allowed_cents: float) -> float:
    """Where fret 1 is sharp by the budget, between the crown plane's own nut and no limit."""
    found = strung_string.clearance_mm(allowed_cents, 1)
    if found is not None:
        return found
    lowest = lowest_explained_mm(strung_string.neck, 1, strung_string.finger_at(1))
    least = clearance_mm(strung_string.neck, lowest)
    return least if strung_string.cents(least, 1) > allowed_cents else math.inf


def _stray(strung_string: StrungString, from_bridge_mm: float, quality: float) -> float:
    """How far a real string's swing over fret 1 may be off the ideal one's: sd as a share, a
    sixth of what lies between bounds that it stays within."""
    length, x = strung_string.neck.scale_mm, strung_string.neck.fret_mm(1)
    pluck = Pluck(1.0, min(from_bridge_mm, length / 2.0))
    bending = strung_string.wire.bending
    least, most = swing_bounds_mm(pluck, length, x, bending=bending, quality=quality)
    return (most - least) / 6.0 / swing_mm(pluck, length, x)
