"""Relief: how far the neck falls away under a straight line, signed; below zero it bows back.

The figure is the largest gap between the standard holds, fret 1 and the place fourteen semitones
up: frets 1 and 14 on a semitone board. A neck that bends evenly leaves at fret m between holds a
and b, with places x from the nut in shares of the scale,

    gap(m; a, b) = r · 4 (x_m − x_a)(x_b − x_m) / W²,   W = x_14 − x_1

(a parabola, which differs from the arc by 2e-6 of a relief of 1 mm), so that the largest gap
between other holds is r · (x_b − x_a)² / W².
"""

from __future__ import annotations

from collections.abc import Hashable

from logic.bench.measuring.grid import Curve, Grid, bell
from logic.bench.measuring.kinds.leaf import contact_curves, contact_under
from logic.bench.measuring.quantities.quantity import MeasuredQuantity, leaf_cells
from logic.bench.measuring.quantities.touch import felt, place, softness
from logic.bench.tables.trade_tables import TradeTables
from shared.board import SEMITONE_BOARD, Board
from shared.measurements import ReliefMeasurement, Side
from shared.units import Length
from shared.words import mark, say

RELIEF = Grid("relief", "mm", low=-1.0, high=2.0, step=0.005)
HELD_AT_SEMITONES = 14
"""The upper of the standard holds; the lower is fret 1."""
_ON = {
    Side.BASS: mark("relief on the bass side: {found}"),
    Side.TREBLE: mark("relief on the treble side: {found}"),
    None: mark("relief: {found}"),
}


class Relief(MeasuredQuantity[ReliefMeasurement]):
    """Relief of one side of the neck, between the standard holds."""

    model = ReliefMeasurement
    grid = RELIEF
    columns = ("side", "held at frets", "value")

    def subject(self, measurement: ReliefMeasurement) -> Hashable:
        """The side of the neck."""
        return measurement.side

    def likelihood(self, measurement: ReliefMeasurement, trade: TradeTables, board: Board) -> Curve:
        """Of a number a bell; of a leaf what the hand can tell at its place under the string."""
        if measurement.value is None:
            return _felt(measurement, trade, board)
        per_mm = _read_per_mm(measurement, board)
        spread = trade.measurements.relief_number_spread_mm
        return bell(RELIEF, RELIEF.within(measurement.value.mm / per_mm), spread / per_mm)

    def sentence(self, measurement: ReliefMeasurement) -> str:
        """As in: relief on the bass side: 0.2 mm."""
        return say(_ON[measurement.side], found=_found(measurement))

    def cells(self, measurement: ReliefMeasurement) -> dict[str, str]:
        """Side, holds and fret, with the leaf and its contact or the number."""
        holds = "" if measurement.holds is None else "{}–{}".format(*measurement.holds)
        return {
            "string": _text(measurement.string),
            "side": _text(measurement.side),
            "held at frets": holds,
            "fret": _text(measurement.at),
            "contact": _text(measurement.contact),
            "value": _text(measurement.value),
            **leaf_cells(measurement.leaves),
        }


QUANTITY = Relief()


def gap_per_relief(holds: tuple[int, int], at: int, board: Board = SEMITONE_BOARD) -> float:
    """The gap at a fret between holds, per millimetre of relief between the standard holds."""
    low, high, middle = (_place(fret, board) for fret in (*holds, at))
    return 4.0 * (middle - low) * (high - middle) / _whole(board) ** 2


def _place(fret: int, board: Board) -> float:
    return place(board.semitones_at(fret))


def _whole(board: Board) -> float:
    return place(HELD_AT_SEMITONES) - _place(1, board)


def standard_holds(board: Board) -> tuple[int, int]:
    """Fret 1, and the fret nearest to the upper of the standard holds: a relief without holds of
    its own is meant between them."""
    return 1, max(board.nearest_fret(HELD_AT_SEMITONES), 2)


def _read_per_mm(measurement: ReliefMeasurement, board: Board) -> float:
    """What a number is read as, per millimetre of relief between the standard holds."""
    holds = measurement.holds or standard_holds(board)
    if measurement.at is None:
        return _largest(holds, board)
    return gap_per_relief(holds, measurement.at, board)


def _largest(holds: tuple[int, int], board: Board) -> float:
    """The largest gap between holds, per millimetre of relief between the standard holds."""
    return ((_place(holds[1], board) - _place(holds[0], board)) / _whole(board)) ** 2


def _felt(measurement: ReliefMeasurement, trade: TradeTables, board: Board) -> Curve:
    holds, at = measurement.holds or standard_holds(board), measurement.at or 0
    low, high = (_place(fret, board) for fret in holds)
    # a straight edge does not give way to the leaf, so it is felt as surely as over fret 1
    soft = 1.0 if measurement.string is None else softness(low, high, _place(at, board))
    table, count = trade.reading, len(measurement.leaves)
    thickness = sum(leaf.mm for leaf in measurement.leaves) + (count - 1) * table.film_mm
    spread, half_width = felt(soft, count * table.leaf_tolerance_mm, trade)
    curves = contact_curves(RELIEF, thickness, spread, half_width, gap_per_relief(holds, at, board))
    return curves[measurement.felt]


def _found(measurement: ReliefMeasurement) -> Length | str:
    if measurement.value is not None:
        return measurement.value
    low, high = measurement.holds or standard_holds(SEMITONE_BOARD)
    return say(
        "{contact} over fret {fret}, held at {low} and {high}",
        contact=contact_under(measurement.felt, measurement.leaves),
        fret=measurement.at,
        low=low,
        high=high,
    )


def _text(value: object) -> str:
    return "" if value is None else str(value)
