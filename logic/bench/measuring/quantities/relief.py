"""Relief: how far the neck falls away under a straight line, signed; below zero it bows back.

The figure is the largest gap between the standard holds, frets 1 and 14. A neck that bends evenly
leaves at fret m between holds a and b, with places x from the nut in shares of the scale,

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
from shared.measurements import ReliefMeasurement, Side
from shared.units import Length
from shared.words import mark, say

RELIEF = Grid("relief", "mm", low=-1.0, high=2.0, step=0.005)
STANDARD_HOLDS = (1, 14)
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

    def likelihood(self, measurement: ReliefMeasurement, trade: TradeTables) -> Curve:
        """Of a number a bell; of a leaf what the hand can tell at its place under the string."""
        if measurement.value is None:
            return _felt(measurement, trade)
        per_mm = _largest(measurement.holds or STANDARD_HOLDS)
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


def gap_per_relief(holds: tuple[int, int], at: int) -> float:
    """The gap at a fret between holds, per millimetre of relief between the standard holds."""
    low, high, middle = place(holds[0]), place(holds[1]), place(at)
    return 4.0 * (middle - low) * (high - middle) / _whole() ** 2


def _whole() -> float:
    return place(STANDARD_HOLDS[1]) - place(STANDARD_HOLDS[0])


def _largest(holds: tuple[int, int]) -> float:
    """The largest gap between holds, per millimetre of relief between the standard holds."""
    return ((place(holds[1]) - place(holds[0])) / _whole()) ** 2


def _felt(measurement: ReliefMeasurement, trade: TradeTables) -> Curve:
    holds, at = measurement.holds or STANDARD_HOLDS, measurement.at or 0
    low, high = map(place, holds)
    # a straight edge does not give way to the leaf, so it is felt as surely as over fret 1
    soft = 1.0 if measurement.string is None else softness(low, high, place(at))
    table, count = trade.reading, len(measurement.leaves)
    thickness = sum(leaf.mm for leaf in measurement.leaves) + (count - 1) * table.film_mm
    spread, half_width = felt(soft, count * table.leaf_tolerance_mm, trade)
    curves = contact_curves(RELIEF, thickness, spread, half_width, gap_per_relief(holds, at))
    return curves[measurement.felt]


def _found(measurement: ReliefMeasurement) -> Length | str:
    if measurement.value is not None:
        return measurement.value
    low, high = measurement.holds or STANDARD_HOLDS
    return say(
        "{contact} over fret {fret}, held at {low} and {high}",
        contact=contact_under(measurement.felt, measurement.leaves),
        fret=measurement.at,
        low=low,
        high=high,
    )


def _text(value: object) -> str:
    return "" if value is None else str(value)
