"""The instrument on the bench: its strings, its nut, its neck, and who plays it."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from shared.pitch import STANDARD_A4_HZ, Pitch
from shared.record import Record
from shared.string_names import StringKey
from shared.units import Length, LengthOf, ReadAs
from shared.words import English, mark, say, speaking

_OCTAVE, _MAIN = mark("{course} octave"), mark("{course} main")
_IN_ORDER = (
    mark("{course} first"),
    mark("{course} second"),
    mark("{course} third"),
    mark("{course} fourth"),
)

MOST_BUDGET_CENTS = 50.0
"""How sharp a player may accept fret 1: half a semitone, beyond which it is another note."""


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
    """One string. Strings are numbered from 1 as they lie across the nut, from the treble side;
    every string of a pair has its own number."""

    string: Annotated[int, Field(ge=1, le=24)]
    pitch: Pitch
    gauge: Annotated[Length, ReadAs(LengthOf.GAUGE)]
    make: Make
    core: Annotated[Length, ReadAs(LengthOf.CORE)] | None = None
    course: Annotated[int, Field(ge=1, le=24)] | None = None
    """Which pair it belongs to, where strings are paired."""
    octave: bool = False
    """The thinner partner of an octave pair."""
    from_fret: Annotated[int, Field(ge=0, le=12)] = 0
    """Where its own small nut stands (a five-string banjo's fifth: 5); 0 is the common nut."""
    grams_per_metre: Annotated[float, Field(gt=0, le=200)] | None = None
    """Weighed; replaces what gauge and make would give."""
    whole_tone_stretch: Annotated[Length, ReadAs(LengthOf.STRETCH)] | None = None
    """How far the string is drawn to rise by a whole tone; replaces the usual stiffness."""


class Nut(Record):
    """The part that carries the slots."""

    type: NutType = NutType.SLOTTED
    material: str = "bone"
    width: Annotated[Length, ReadAs(LengthOf.NUT_WIDTH)] | None = None
    shim: Annotated[Length, ReadAs(LengthOf.NUT_SHIM)] | None = None
    original: bool = False
    glued: bool = False


class Instrument(Record):
    """One instrument, as far as it is known; what is unknown falls back to the preset of `kind`."""

    label: str = ""
    owner: Annotated[str, Field(max_length=120)] = ""
    """The owner's tag: whatever tells the bench whose it is."""
    kind: str
    scale: Annotated[Length, ReadAs(LengthOf.SCALE)]
    scale_bass: Annotated[Length, ReadAs(LengthOf.SCALE)] | None = None
    """Of the lowest string, where the scale is fanned."""
    fretted: bool = True
    left_handed: bool = False
    relief: Annotated[Length, ReadAs(LengthOf.RELIEF)] | None = None
    action_12: dict[StringKey, Annotated[Length, ReadAs(LengthOf.ACTION_12)]] = Field(
        default_factory=dict
    )
    a4_hz: Annotated[float, Field(ge=380, le=480)] = STANDARD_A4_HZ
    nut: Nut = Nut()
    strings: tuple[StringSpec, ...]

    def spec(self, string: int) -> StringSpec:
        """The string numbered `string`; KeyError when there is none."""
        for spec in self.strings:
            if spec.string == string:
                return spec
        raise KeyError(string)

    def name_of(self, string: int) -> str:
        """What a person calls it: its number, or of a pair "6 octave" and "6 main" (the sixth
        course's octave string and its partner), "2 first" and "2 second" (of like strings, in
        order of number)."""
        spec = self.spec(string)
        pair = [other for other in self.strings if other.course == spec.course]
        if spec.course is None or len(pair) < 2:
            return str(string)
        if any(other.octave for other in pair):
            return say(_OCTAVE if spec.octave else _MAIN, course=spec.course)
        rank = sorted(other.string for other in pair).index(string)
        return say(_IN_ORDER[min(rank, 3)], course=spec.course)

    def number_of(self, name: str | int) -> int:
        """The string that `name` means: a number is always a string's number, never a course's;
        two words are a course and which of its strings (see `name_of`). KeyError when none is."""
        written = " ".join(str(name).lower().split())
        with speaking(English()):  # a job file is written alike in every language
            names = {self.name_of(spec.string): spec.string for spec in self.strings}
        names |= {str(number): number for number in names.values()}
        return names[written]


class Player(Record):
    """Who plays it, and the player's or technician's own targets per string."""

    attack: Attack = Attack.MEDIUM
    targets: dict[StringKey, Annotated[Length, ReadAs(LengthOf.CLEARANCE)]] = Field(
        default_factory=dict
    )
    budget_cents: Annotated[float, Field(gt=0, le=MOST_BUDGET_CENTS)] | None = None
