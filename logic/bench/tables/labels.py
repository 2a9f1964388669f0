"""A sheet of labels for instruments: `assets/labels.json`."""

from __future__ import annotations

from shared.table import Figure, Table


class LabelTable(Table):
    """How large a label and its code are."""

    width_mm: Figure[float]
    height_mm: Figure[float]
    least_margin_mm: Figure[float]
    """Between the labels and the edge of the sheet."""
    code_mm: Figure[float]
    """The square code with its white edge."""
    quiet_modules: Figure[int]
    """The white edge of a code, in its own squares."""
    least_module_mm: Figure[float]
    """The side of one square of a code that is still read."""
