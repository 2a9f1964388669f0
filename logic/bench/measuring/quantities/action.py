"""Action: how high an open string stands over the crown of a fret."""

from __future__ import annotations

from collections.abc import Hashable

from logic.bench.measuring.grid import Curve, Grid, bell
from logic.bench.measuring.kinds.leaf import contact_curves, contact_under
from logic.bench.measuring.quantities.quantity import MeasuredQuantity, leaf_cells
from logic.bench.measuring.quantities.touch import felt, place, softness
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.measurements import ActionMeasurement
from shared.words import mark, say

ACTION = Grid("action", "mm", low=0.0, high=12.0, step=0.02)
"""Half the finest judgement spread of a string so soft, up to the highest that is read."""
_OF_STRING = mark("action of string {string} at fret {fret}: {found}")


class Action(MeasuredQuantity[ActionMeasurement]):
    """Action of one string at one fret."""

    model = ActionMeasurement
    grid = ACTION
    columns = ("shank", "value")

    def subject(self, measurement: ActionMeasurement) -> Hashable:
        """The string, and the fret."""
        return measurement.string, measurement.fret

    def likelihood(self, measurement: ActionMeasurement, trade: TradeTables, board: Board) -> Curve:
        """Of a number a bell; of a leaf or shank what the hand can tell under a string so soft."""
        if measurement.value is not None:
            spread = trade.measurements.action_number_spread_mm
            return bell(ACTION, ACTION.within(measurement.value.mm), spread)
        thickness, tolerance = _slid_in(measurement, trade)
        at = place(board.semitones_at(measurement.fret))
        spread, half_width = felt(softness(0.0, 1.0, at), tolerance, trade)
        return contact_curves(ACTION, thickness, spread, half_width)[measurement.felt]

    def sentence(self, measurement: ActionMeasurement) -> str:
        """As in: action of string 6 at fret 12: 2.4 mm."""
        found = (
            contact_under(measurement.felt, measurement.slid_in)
            if measurement.value is None
            else measurement.value
        )
        return say(_OF_STRING, string=measurement.string, fret=measurement.fret, found=found)

    def cells(self, measurement: ActionMeasurement) -> dict[str, str]:
        """String and fret, with what was slid in and its contact or the number."""
        return {
            "string": str(measurement.string),
            "fret": str(measurement.fret),
            "shank": str(measurement.shank or ""),
            "contact": str(measurement.contact or ""),
            "value": str(measurement.value or ""),
            **leaf_cells(measurement.leaves),
        }


QUANTITY = Action()


def _slid_in(measurement: ActionMeasurement, trade: TradeTables) -> tuple[float, float]:
    """Thickness of the leaves or the shank, and how far it may be off, millimetres."""
    if measurement.shank is not None:
        return measurement.shank.mm, trade.measurements.shank_tolerance_mm
    count = len(measurement.leaves)
    film = (count - 1) * trade.reading.film_mm
    thickness = sum(leaf.mm for leaf in measurement.leaves) + film
    return thickness, count * trade.reading.leaf_tolerance_mm
