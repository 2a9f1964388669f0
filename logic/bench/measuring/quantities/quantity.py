"""What every quantity of the instrument or its room answers for itself."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Hashable
from typing import Generic, TypeVar

from logic.bench.measuring.grid import Curve, Grid
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.measurements import Measurement

M = TypeVar("M", bound=Measurement)


class MeasuredQuantity(ABC, Generic[M]):
    """One quantity: its grid, what a measurement says of it, how that is said and kept."""

    model: type[M]
    grid: Grid
    columns: tuple[str, ...] = ("value",)
    """Columns of the spreadsheet that it needs beside those of readings."""

    @abstractmethod
    def subject(self, measurement: M) -> Hashable:
        """Of what the quantity was measured: which side of the neck, which string at which fret.
        Measurements of one subject are believed together."""

    @abstractmethod
    def likelihood(self, measurement: M, trade: TradeTables, board: Board) -> Curve:
        """How likely the measurement is at each value of the grid; `board` says where the frets
        lie that it names."""

    @abstractmethod
    def sentence(self, measurement: M) -> str:
        """The measurement as part of a sentence."""

    @abstractmethod
    def cells(self, measurement: M) -> dict[str, str]:
        """What stands in the spreadsheet, by column; lengths as they were written."""


def leaf_cells(leaves: tuple[object, ...]) -> dict[str, str]:
    """The columns of a leaf or a stack of two."""
    return dict(zip(("leaf", "second leaf"), map(str, leaves), strict=False))
