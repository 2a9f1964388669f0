"""What a person can do about a check that failed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class MeasureAgain:
    """It was put right: measure or answer this check anew."""

    gate: str


@dataclass(frozen=True)
class LeaveFinding:
    """Go on with what was found as it stands."""


CheckCommand = MeasureAgain | LeaveFinding
