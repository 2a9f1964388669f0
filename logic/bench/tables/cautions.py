"""Short cautions, each shown only where it matters: `assets/cautions.json`."""

from __future__ import annotations

from logic.bench.tables.vocabulary import RaiseMethod
from shared.job import CallKind
from shared.table import SourcedRow, Table


class Caution(SourcedRow):
    """A caution, and the plans that it belongs to: any of these calls or methods in it."""

    calls: tuple[CallKind, ...] = ()
    methods: tuple[RaiseMethod, ...] = ()
    materials: tuple[str, ...] = ()
    """Only for a nut whose material holds one of these words; empty: for any."""
    valuable: bool = False
    """Only for a nut that is original or glued in."""
    tied: bool = False
    """Only for a board whose frets are tied."""
    say: str


class CautionTable(Table):
    """Every caution, in the order they are shown."""

    cautions: tuple[Caution, ...]
