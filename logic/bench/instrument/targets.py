"""Where common practice, or the technician, aims: the clearance for one string and attack."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument, Player, StringSpec

MM_PER_THOU = 0.0254


@dataclass(frozen=True)
class Aim:
    """The clearance aimed at, and how far below and above it common practice leaves a slot."""

    usual_mm: float
    """Common practice."""
    own_mm: float | None
    """The technician's or player's own figure, where there is one."""
    below_mm: float
    above_mm: float

    @property
    def target_mm(self) -> float:
        """The own figure first."""
        return self.usual_mm if self.own_mm is None else self.own_mm


def aim(spec: StringSpec, instrument: Instrument, player: Player, trade: TradeTables) -> Aim:
    """What to aim at on one string: the player's own target first, else common practice."""
    family = _family(instrument, trade)
    own = player.targets.get(spec.string)
    usual_thou = _medium_thou(spec, instrument, family) + family["attack_thou"][player.attack]
    return Aim(
        usual_mm=usual_thou * MM_PER_THOU,
        own_mm=own.mm if own is not None else None,
        below_mm=family["below_thou"] * MM_PER_THOU,
        above_mm=family["above_thou"] * MM_PER_THOU,
    )


def _family(instrument: Instrument, trade: TradeTables) -> dict[str, Any]:
    """The rows of the table that speak of this kind of instrument."""
    table = trade.tables["targets"]
    if not instrument.fretted:
        return dict(table["fretless"])
    for family in table["families"]:
        if instrument.kind in family["kinds"]:
            return dict(family)
    return dict(table["otherwise"])


def _medium_thou(spec: StringSpec, instrument: Instrument, family: dict[str, Any]) -> float:
    by_course = family.get("target_thou", {})
    course = str(course_of(spec))
    if course in by_course:
        return float(by_course[course])
    return _by_third(spec, instrument, family)


def _by_third(spec: StringSpec, instrument: Instrument, family: dict[str, Any]) -> float:
    """For a string the table does not list: by its place between the highest and the lowest."""
    courses = sorted({course_of(other) for other in instrument.strings})
    place = (courses.index(course_of(spec)) + 0.5) / len(courses)
    third = "highest" if place < 1 / 3 else "middle" if place < 2 / 3 else "lowest"
    thirds = family.get("by_third_thou") or _thirds(family["target_thou"])
    return float(thirds[third])


def _thirds(target_thou: dict[str, float]) -> dict[str, float]:
    """A listed family's own highest, middle and lowest figures."""
    ordered = [target_thou[course] for course in sorted(target_thou, key=int)]
    return {"highest": ordered[0], "middle": ordered[len(ordered) // 2], "lowest": ordered[-1]}


def course_of(spec: StringSpec) -> int:
    """The course a string belongs to; a single string is a course of its own."""
    return spec.course if spec.course is not None else spec.string
