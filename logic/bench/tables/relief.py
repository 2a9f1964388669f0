"""How much relief necks have: `assets/relief.json`."""

from __future__ import annotations

from typing import Annotated

from shared.table import EACH_KIND_ONCE, Figure, SourcedRow, Table
from shared.units import Length


class UsualRelief(SourcedRow):
    """What is usual at the deepest point: from `low` to `high`, and what is reckoned with where
    nothing was measured."""

    low: Length
    usual: Length
    high: Length


class ReliefFamily(UsualRelief):
    """The usual relief of these kinds."""

    kinds: tuple[str, ...]


class ReliefTable(Table):
    """How much relief a neck of each kind usually has, and what cannot be a relief."""

    families: Annotated[tuple[ReliefFamily, ...], EACH_KIND_ONCE]
    otherwise: UsualRelief
    bare_otherwise: UsualRelief
    """Of a kind that is not in the list and has no frets."""
    beyond_belief: Figure[Length]
    moved: Figure[Length]
    """Two measurements further apart than this are of a neck that moved."""

    def of(self, kind: str, fretted: bool = True) -> UsualRelief:
        """The usual relief of this kind."""
        otherwise = self.otherwise if fretted else self.bare_otherwise
        return next((row for row in self.families if kind in row.kinds), otherwise)
