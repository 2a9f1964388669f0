"""How moist the air is in which the instrument was measured, relative to what it could hold."""

from __future__ import annotations

from collections.abc import Hashable

from logic.bench.measuring.grid import Curve, Grid, bell
from logic.bench.measuring.quantities.quantity import MeasuredQuantity
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.measurements import HumidityMeasurement
from shared.words import say

HUMIDITY = Grid("relative humidity", "%", low=0.0, high=100.0, step=0.5)


class Humidity(MeasuredQuantity[HumidityMeasurement]):
    """The relative humidity of the room."""

    model = HumidityMeasurement
    grid = HUMIDITY

    def subject(self, measurement: HumidityMeasurement) -> Hashable:
        """The one room."""
        return None

    def likelihood(
        self, measurement: HumidityMeasurement, trade: TradeTables, board: Board
    ) -> Curve:
        """A bell about what the hygrometer shows."""
        return bell(HUMIDITY, measurement.percent, trade.measurements.humidity_spread_percent)

    def sentence(self, measurement: HumidityMeasurement) -> str:
        """As in: 45 % humidity in the room."""
        return say("{percent:g} % humidity in the room", percent=measurement.percent)

    def cells(self, measurement: HumidityMeasurement) -> dict[str, str]:
        """Per cent with their sign."""
        return {"value": f"{measurement.percent:g} %"}


QUANTITY = Humidity()
