"""First-fret clearance that common practice aims at: `assets/targets.json`."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from shared.instrument import Attack
from shared.table import EACH_KIND_ONCE, Figure, Row, SourcedRow, Table


class Thirds(Row):
    """Targets of the lowest, middle and highest third of the strings, thousandths of an inch."""

    lowest: float
    middle: float
    highest: float


class BowedRow(SourcedRow):
    """What is otherwise under a bow."""

    attack_thou: dict[Attack, float]
    """What an attack adds to the target of a medium one that plucks."""
    below_thou: float


class TargetRow(SourcedRow):
    """What is aimed at on one sort of instrument at medium attack, by course or by third;
    thousandths of an inch."""

    name: str
    kinds: tuple[str, ...] = ()
    bare_board: bool = False
    """Clear of a board without frets; of these kinds only where they have none."""
    target_thou: dict[int, float] = Field(default_factory=dict)
    """By course; 1 is the highest."""
    by_third_thou: Thirds | None = None
    """Where no course is listed: by where a string lies among the others."""
    attack_thou: dict[Attack, float]
    """What an attack adds to the target of a medium one."""
    below_thou: float
    above_thou: float
    """How far below and above the target a slot may stand before it is touched."""
    bowed: BowedRow | None = None
    """None where nobody bows them, or nothing is known of it."""

    @model_validator(mode="after")
    def _one_way(self) -> TargetRow:
        if bool(self.target_thou) == bool(self.by_third_thou):
            raise ValueError("targets are listed by course or by third, one of the two")
        return self

    @property
    def thirds_thou(self) -> Thirds:
        """As listed, or the lowest, the middle and the highest course's own targets."""
        if self.by_third_thou is not None:
            return self.by_third_thou
        ordered = [self.target_thou[course] for course in sorted(self.target_thou)]
        middle = ordered[len(ordered) // 2]
        return Thirds(lowest=ordered[-1], middle=middle, highest=ordered[0])


class TargetTable(Table):
    """First-fret clearance aimed at, for a medium attack; what another attack adds; and what is
    left alone where the physics has nothing better to say."""

    families: Annotated[tuple[TargetRow, ...], EACH_KIND_ONCE]
    otherwise: TargetRow
    fretless: TargetRow
    """Clear of the board in front of the nut."""
    edge_sd_thou: Figure[float]
    """How far good technicians differ on either edge."""
