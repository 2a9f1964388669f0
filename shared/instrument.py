"""The instrument on the bench: its strings, its nut, its neck, and who plays it."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from shared.pitch import STANDARD_A4_HZ, Pitch
from shared.record import Record
from shared.units import Gauge, Length


class Make(StrEnum):
    """What a string is made of."""

    PLAIN_STEEL = "plain steel"
    WOUND_STEEL = "wound steel"
    WOUND_NICKEL = "wound nickel"
    WOUND_BRONZE = "wound bronze"
    FLATWOUND = "flatwound"
    NYLON = "nylon"
    FLUOROCARBON = "fluorocarbon"
    GUT = "gut"
    WOUND_NYLON = "overwound nylon"


class NutType(StrEnum):
    """How the nut holds its strings."""

    SLOTTED = "slotted"
    ZERO_FRET = "zero fret"
    CLAMPING = "clamping"
    ROLLER = "roller"
    TALL_SLIDE = "tall slide"
    COMPENSATED = "compensated"
    OWN_NUT = "own nut"


class Attack(StrEnum):
    """How hard the player plays."""

    LIGHT = "light"
    MEDIUM = "medium"
    HEAVY = "heavy"


class StringSpec(Record):
    """One string: 1 is the highest-sounding side's outer string as the trade numbers them."""

    string: Annotated[int, Field(ge=1, le=24)]
    pitch: Pitch
    gauge: Annotated[Length, Gauge]
    make: Make
    core: Annotated[Length, Gauge] | None = None
    course: int | None = None
    octave: bool = False
    """The thinner partner of an octave pair."""


class Nut(Record):
    """The part that carries the slots."""

    type: NutType = NutType.SLOTTED
    material: str = "bone"
    width: Length | None = None
    shim: Length | None = None
    original: bool = False
    glued: bool = False


class Instrument(Record):
    """One instrument, as far as it is known; what is unknown falls back to the preset of `kind`."""

    label: str = ""
    kind: str
    scale: Length
    scale_bass: Length | None = None
    """Of the lowest string, where the scale is fanned."""
    fretted: bool = True
    left_handed: bool = False
    relief: Length | None = None
    action_12: dict[int, Length] = Field(default_factory=dict)
    a4_hz: Annotated[float, Field(ge=380, le=480)] = STANDARD_A4_HZ
    nut: Nut = Nut()
    strings: tuple[StringSpec, ...]

    def spec(self, string: int) -> StringSpec:
        """The string numbered `string`; KeyError when there is none."""
        for spec in self.strings:
            if spec.string == string:
                return spec
        raise KeyError(string)


class Player(Record):
    """Who plays it, and the player's or technician's own targets per string."""

    attack: Attack = Attack.MEDIUM
    targets: dict[int, Length] = Field(default_factory=dict)
    budget_cents: Annotated[float, Field(gt=0, le=50)] | None = None
