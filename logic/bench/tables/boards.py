"""Boards and necks as they usually are: `assets/boards.json`."""

from __future__ import annotations

from typing import Annotated

from shared.table import EACH_KIND_ONCE, SourcedRow, Table


class UsualBoard(SourcedRow):
    """A board as it usually is: across, how it is curved; along, where the neck ends."""

    radius_mm: float | None = None
    """Of the board over fret 1 or, where `radius_end_mm` is given, at the nut; None: flat."""
    radius_end_mm: float | None = None
    """At the saddle, of a board that flattens towards it (a cone); None: a cylinder."""
    join: float
    """Semitones up at which neck and body meet."""
    held_at: float
    """Semitones up at which a string is held to serve as straight edge."""
    frets: int
    spread_mm: float
    """Between the outer strings at the saddle."""


class BoardFamily(UsualBoard):
    """The usual board of these kinds."""

    kinds: tuple[str, ...]


class BoardTable(Table):
    """The usual board of each kind of instrument."""

    families: Annotated[tuple[BoardFamily, ...], EACH_KIND_ONCE]
    otherwise: UsualBoard

    def of(self, kind: str) -> UsualBoard:
        """The usual board of this kind."""
        return next((row for row in self.families if kind in row.kinds), self.otherwise)
