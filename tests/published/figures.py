"""The published figures, and how a computed value is held against one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

FILE = Path(__file__).with_name("published.yaml")


@dataclass(frozen=True)
class Figure:
    """One published worked example: what goes in, what comes out, within what, and whence."""

    id: str
    inputs: dict[str, Any]
    expected: dict[str, Any]
    source: str
    status: str
    tol: Any = None
    tol_rel: float | None = None

    def agrees(self, **computed: Any) -> None:
        """Assert every expected value named in `computed`, each within the published tolerance."""
        assert computed, "nothing was computed"
        for name, value in computed.items():
            within = self.tol[name] if isinstance(self.tol, dict) else self.tol
            wanted = pytest.approx(self.expected[name], abs=within, rel=self.tol_rel)
            assert value == wanted, f"{self.id}: {name}; {self.source} ({self.status})"

    def agrees_in_all(self, **computed: Any) -> None:
        """As `agrees`, and nothing that was published is left out."""
        assert set(computed) == set(self.expected)
        self.agrees(**computed)


@cache
def figures() -> dict[str, Figure]:
    """Every figure by its name."""
    rows = yaml.safe_load(FILE.read_text(encoding="utf-8"))
    return {row["id"]: Figure(**row) for row in rows}


def figure(name: str) -> Figure:
    """The figure of that name."""
    return figures()[name]
