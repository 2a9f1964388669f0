"""How warm the room is in which the instrument was measured."""

from __future__ import annotations

from collections.abc import Hashable

from logic.bench.measuring.grid import Curve, Grid, bell
from logic.bench.measuring.quantities.quantity import MeasuredQuantity
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.measurements import TemperatureMeasurement
from shared.words import say

TEMPERATURE = Grid("temperature", "°C", low=-20.0, high=60.0, step=0.1)


class Temperature(MeasuredQuantity[TemperatureMeasurement]):
    """The temperature of the room."""

    model = TemperatureMeasurement
    grid = TEMPERATURE

    def subject(self, measurement: TemperatureMeasurement) -> Hashable:
        """The one room."""
        return None

    def likelihood(
        self, measurement: TemperatureMeasurement, trade: TradeTables, board: Board
    ) -> Curve:
        """A bell about what the thermometer shows."""
        return bell(TEMPERATURE, measurement.celsius, trade.measurements.temperature_spread_celsius)

    def sentence(self, measurement: TemperatureMeasurement) -> str:
        """As in: 21.5 °C in the room."""
        return say("{celsius:g} °C in the room", celsius=measurement.celsius)

    def cells(self, measurement: TemperatureMeasurement) -> dict[str, str]:
        """Degrees with their unit."""
        return {"value": f"{measurement.celsius:g} °C"}


QUANTITY = Temperature()
