"""How labels lie on a sheet: counted before any of them is drawn, and without what draws codes."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from logic.bench.tables.labels import LabelTable
from logic.drawing.page import Paper


@dataclass(frozen=True)
class LabelGrid:
    """How many labels lie on a sheet, and where the first of them begins."""

    paper: Paper
    columns: int
    rows: int
    left_mm: float
    top_mm: float

    @property
    def on_a_sheet(self) -> int:
        """How many labels one sheet holds."""
        return self.columns * self.rows

    def sheets(self, count: int) -> int:
        """How many sheets so many labels take."""
        return ceil(count / self.on_a_sheet)


def label_grid(paper: Paper, table: LabelTable) -> LabelGrid:
    """As many labels as leave the margin free, in the middle of the sheet."""
    across, down = paper.size_mm
    columns = int((across - 2 * table.least_margin_mm) // table.width_mm)
    rows = int((down - 2 * table.least_margin_mm) // table.height_mm)
    left, top = (across - columns * table.width_mm) / 2, (down - rows * table.height_mm) / 2
    return LabelGrid(paper, columns, rows, left, top)
