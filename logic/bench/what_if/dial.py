"""What can be turned to see what would follow."""

from __future__ import annotations

from enum import StrEnum


class Dial(StrEnum):
    """What can be turned."""

    ATTACK = "attack"
    RELIEF = "relief"
    TUNING = "tuning"
    GAUGE = "gauge"
    TARGET = "target"
    BUDGET = "budget"
