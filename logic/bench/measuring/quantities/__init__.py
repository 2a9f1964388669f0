"""Every quantity of the instrument and its room, each a module of its own.

A new quantity: a model in `shared/measurements.py`, a module here, and its line in both lists.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import Any

from logic.bench.measuring.grid import Posterior, flat_prior
from logic.bench.measuring.quantities import action, humidity, relief, temperature
from logic.bench.measuring.quantities.quantity import MeasuredQuantity
from logic.bench.tables.trade_tables import TradeTables
from shared.board import SEMITONE_BOARD, Board
from shared.measurements import Measurement

QUANTITIES: tuple[MeasuredQuantity[Any], ...] = (
    relief.QUANTITY,
    action.QUANTITY,
    temperature.QUANTITY,
    humidity.QUANTITY,
)
"""In the order of the spreadsheet's columns."""


def quantity_of(measurement: Measurement) -> MeasuredQuantity[Any] | None:
    """The quantity that was measured; None for one of a newer version."""
    return next((each for each in QUANTITIES if each.model is type(measurement)), None)


def measured(
    measurements: Iterable[Measurement], trade: TradeTables, board: Board = SEMITONE_BOARD
) -> dict[tuple[str, Hashable], Posterior]:
    """What is believed of everything that was measured, by the wire's name of the quantity and its
    subject; before the first measurement every value is as likely as another. What is older than
    the last change of the instrument is the caller's to leave out."""
    believed: dict[tuple[str, Hashable], Posterior] = {}
    for measurement in measurements:
        quantity = quantity_of(measurement)
        if quantity is None:
            continue
        about = measurement.quantity, quantity.subject(measurement)
        before = believed.get(about) or flat_prior(quantity.grid)
        believed[about] = before.times(quantity.likelihood(measurement, trade, board))
    return believed
