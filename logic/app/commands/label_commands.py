"""What a person can do with the labels of instruments: print them, find one by its label."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.commands.start_commands import OpenLabel as OpenLabel
from logic.app.commands.start_commands import ScanLabel as ScanLabel


@dataclass(frozen=True)
class SeeLabels:
    """Show the way to printed labels: of the chosen instruments, of all where none is chosen."""


@dataclass(frozen=True)
class ShareLabels:
    """Hand the sheets of labels out, for A4 or Letter. The device does it."""

    paper: str


@dataclass(frozen=True)
class SeeFindLabel:
    """Show how an instrument is found by its label."""


LabelCommand = OpenLabel | SeeLabels | ShareLabels | SeeFindLabel | ScanLabel
