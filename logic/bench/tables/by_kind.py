"""A figure that differs by kind of instrument."""

from __future__ import annotations

from shared.table import SourcedRow


class LengthByKind(SourcedRow):
    """A length by kind of instrument, millimetres."""

    otherwise: float
    """For a kind that is not listed."""
    kinds: dict[str, float]

    def of(self, kind: str) -> float:
        """The length for this kind."""
        return self.kinds.get(kind, self.otherwise)
