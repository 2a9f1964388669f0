"""What an instrument of a kind is like when nobody has said: `assets/presets.json`.

Lengths are kept as they are written there, since they are shown so and read as a job file is.
"""

from __future__ import annotations

from typing import Any

from shared.instrument import Make, NutType
from shared.table import Row, Source, Table


class WrittenRow(Row):
    """A part of an instrument or kit as a job file writes it."""

    def written(self) -> dict[str, Any]:
        """Its entries as they stand in the table, without their sources."""
        return self.model_dump(exclude={"sources"}, exclude_unset=True)


class PresetNut(WrittenRow):
    """The usual nut."""

    type: NutType
    material: str
    width: str


class PresetString(WrittenRow):
    """One string as it is usually strung."""

    string: int
    pitch: str
    gauge: str
    make: Make
    core: str | None = None
    course: int | None = None
    octave: bool = False
    from_fret: int = 0
    grams_per_metre: float | None = None
    """Where gauge and make do not give the weight, as with a core of rope."""


class PresetBoard(WrittenRow):
    """Where the frets usually are, where that is not at every semitone."""

    semitones: tuple[float, ...] | None = None
    frets: int | None = None
    tied: bool = False


class PresetSources(Row):
    """Where the figures of a kind come from."""

    scale: Source
    pitches: Source
    gauges: Source
    makes: Source
    cores: Source | None = None
    nut: Source
    action_12: Source
    from_fret: Source | None = None
    board: Source | None = None
    weights: Source | None = None
    fretted: Source | None = None


class KindPreset(WrittenRow):
    """One kind of instrument as it usually is. It has no relief: that counts only when measured."""

    scale: str
    fretted: bool = True
    nut: PresetNut
    action_12: dict[str, str]
    """By string."""
    board: PresetBoard | None = None
    strings: tuple[PresetString, ...]
    sources: PresetSources


class ToolSources(Row):
    """Where the sizes of the usual kit come from."""

    leaves: Source
    files: Source
    shims: Source


class PresetKit(WrittenRow):
    """The usual kit."""

    name: str
    leaves: tuple[str, ...]
    files: tuple[str, ...]
    shims: tuple[str, ...]
    sources: ToolSources


class PresetTable(Table):
    """The usual kits, and every kind of instrument in the order a person is offered them."""

    kit: PresetKit
    kit_mm: PresetKit
    """The same where millimetres are read."""
    kinds: dict[str, KindPreset]
