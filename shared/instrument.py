"""The instrument on the bench: its strings, its nut, its neck, and who plays it."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, Any

from pydantic import Field, model_validator

from shared.board import MOST_FRETS, SEMITONE_BOARD, Board
from shared.errors import InputError
from shared.hardware import Bridge, Rod, Saddle
from shared.pitch import STANDARD_A4_HZ, Pitch
from shared.record import Record
from shared.string_names import StringKey
from shared.units import Length, LengthOf, ReadAs, refused
from shared.words import English, mark, say, speaking

_OCTAVE, _MAIN = mark("{course} octave"), mark("{course} main")
_TREBLE, _BASS = mark("{course} treble"), mark("{course} bass")
_IN_ORDER = ("{course} first", "{course} second", "{course} third", "{course} fourth")
"""Of like strings, in order of number, as files call them."""
_SHORT = {
    _OCTAVE: mark("{course}o"),
    _MAIN: mark("{course}m"),
    _TREBLE: mark("{course}t"),
    _BASS: mark("{course}b"),
}

MOST_STRINGS = 24
"""No instrument on a bench has more: a harp's worth beside a neck (common practice, no source)."""
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

    string: Annotated[int, Field(ge=1, le=MOST_STRINGS)]
    pitch: Pitch
    gauge: Annotated[Length, ReadAs(LengthOf.GAUGE)]
    make: Make
    core: Annotated[Length, ReadAs(LengthOf.CORE)] | None = None
    course: Annotated[int, Field(ge=1, le=MOST_STRINGS)] | None = None
    """Which pair it belongs to, where strings are paired."""
    octave: bool = False
    """The thinner partner of an octave pair."""
    scale: Annotated[Length, ReadAs(LengthOf.SCALE)] | None = None
    """Its own, from the line of the common nut to the saddle; None: as the instrument's scale, or
    its fan, has it."""
    from_fret: Annotated[int, Field(ge=0, lt=MOST_FRETS)] = 0
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
    board: Board | None = None
    """Where its frets are; None: at whole semitones, and nobody counted them. A job file may write
    `frets` beside `scale` for their count."""
    left_handed: bool = False
    relief: Annotated[Length, ReadAs(LengthOf.RELIEF)] | None = None
    action_12: dict[StringKey, Annotated[Length, ReadAs(LengthOf.ACTION_12)]] = Field(
        default_factory=dict
    )
    a4_hz: Annotated[float, Field(ge=380, le=480)] = STANDARD_A4_HZ
    nut: Nut = Nut()
    rod: Rod | None = None
    saddle: Saddle | None = None
    bridge: Bridge | None = None
    pickups: bool | None = None
    """Whether magnets stand under the strings; None where nobody said, as of all three above."""
    strings: tuple[StringSpec, ...]

    @model_validator(mode="before")
    @classmethod
    def _counted_on_the_board(cls, given: Any) -> Any:
        if not isinstance(given, dict) or "frets" not in given:
            return given
        rest = {name: value for name, value in given.items() if name != "frets"}
        frets, board = given["frets"], given.get("board")
        if frets is None or (frets == 0 and given.get("fretted") is False):
            return rest
        written = board.model_dump(exclude_none=True) if isinstance(board, Board) else board or {}
        if not isinstance(written, dict):
            return rest
        if written.get("frets") not in (None, frets):
            what = say("{one} frets and {other} on its board", one=frets, other=written["frets"])
            raise refused("board", InputError("", "", say("count them once"), what=what))
        return rest | {"board": written | {"frets": frets}}

    @property
    def fretboard(self) -> Board:
        """Where the frets are: at whole semitones where nobody said otherwise, and so the places of
        the notes on a bare board."""
        return self.board if self.board and self.fretted else SEMITONE_BOARD

    @property
    def octave_fret(self) -> int:
        """The fret over which action is measured, counted from the common nut."""
        return self.fretboard.octave_fret

    @property
    def last_fret(self) -> int | None:
        """How many frets the board has; None where nobody counted them."""
        return self.fretboard.count

    def semitones_at(self, fret: int) -> float:
        """The pitch of a fret of the board above the open string on the common nut."""
        return self.fretboard.semitones_at(fret)

    def spec(self, string: int) -> StringSpec:
        """The string numbered `string`; KeyError when there is none."""
        for spec in self.strings:
            if spec.string == string:
                return spec
        raise KeyError(string)

    def name_of(self, string: int) -> str:
        """What a person calls it everywhere: its number, or of a pair "6 octave" and "6 main" (the
        sixth course's octave string and its partner), of two alike "2 treble" and "2 bass" (the
        one nearer that side), of more "2/1", "2/2" and "2/3", counted from the treble side."""
        return self._named(string, {})

    def short_name_of(self, string: int) -> str:
        """The same where a figure is all there is room for: "6", of a pair "6o", "6m", "2t"."""
        return self._named(string, _SHORT)

    def _named(self, string: int, shortened: Mapping[str, str]) -> str:
        course = self.spec(string).course
        partners = self._partners(string)
        if course is None or not partners:
            return str(string)
        if any(self.spec(each).octave for each in (string, *partners)):
            which = _OCTAVE if self.spec(string).octave else _MAIN
        elif len(partners) == 1:
            which = _TREBLE if string < partners[0] else _BASS
        else:
            return f"{course}/{1 + sum(other < string for other in partners)}"
        return say(shortened.get(which, which), course=course)

    def file_name_of(self, string: int) -> str:
        """What a job file calls it, in every language: of a pair "6 octave" and "6 main", of
        strings alike "2 first" and "2 second", in order of number."""
        spec, partners = self.spec(string), self._partners(string)
        if spec.course is None or not partners:
            return str(string)
        if any(self.spec(each).octave for each in (string, *partners)):
            return f"{spec.course} octave" if spec.octave else f"{spec.course} main"
        rank = sum(other < string for other in partners)
        return _IN_ORDER[min(rank, 3)].format(course=spec.course)

    def _partners(self, string: int) -> tuple[int, ...]:
        """The other strings of its course; none where it stands alone."""
        course = self.spec(string).course
        return tuple(
            other.string
            for other in self.strings
            if course is not None and other.course == course and other.string != string
        )

    def number_of(self, name: str | int) -> int:
        """The string that `name` means: a number is always a string's number, never a course's;
        two words are a course and which of its strings (see `name_of` and `file_name_of`).
        KeyError when none is."""
        written = " ".join(str(name).lower().split())
        with speaking(English()):  # a job file is written alike in every language
            names = {self.name_of(spec.string): spec.string for spec in self.strings}
        names |= {self.file_name_of(spec.string): spec.string for spec in self.strings}
        names |= {str(number): number for number in names.values()}
        return names[written]

    def board_fret(self, string: int, counted: int) -> int:
        """The fret of the board that is the string's own fret `counted`: the same on the common
        nut, and on from its own nut where it has one (at fret 5: its first is fret 6)."""
        return self.spec(string).from_fret + counted


class Player(Record):
    """Who plays it, and the player's or technician's own targets per string."""

    attack: Attack = Attack.MEDIUM
    bowed: bool | None = None
    """Whether it is played with a bow more than it is plucked; None: it is not, or nobody said."""
    targets: dict[StringKey, Annotated[Length, ReadAs(LengthOf.CLEARANCE)]] = Field(
        default_factory=dict
    )
    relief: Annotated[Length, ReadAs(LengthOf.RELIEF)] | None = None
    """The relief that is wanted, between the standard holds; None: as common practice has it."""
    action: dict[StringKey, Annotated[Length, ReadAs(LengthOf.ACTION_12)]] | None = None
    """The action that is wanted an octave up; a string between two of them lies on their line."""
    budget_cents: Annotated[float, Field(gt=0, le=MOST_BUDGET_CENTS)] | None = None
    likes: Annotated[str, Field(max_length=400)] | None = None
    """How the player likes it, in their own words."""
    never_change: Annotated[str, Field(max_length=400)] | None = None
    """What is not to be touched, in their own words."""
