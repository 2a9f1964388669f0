"""Pitches in scientific notation (A4 is the reference) and cents.

Files and histories hold scientific names. People read and type the names of their own players: in
German and its neighbours B is H, and B flat is B.

f = A4 · 2^((m − 69)/12), with m the MIDI note number (ISO 16:1975 sets A4 = 440 Hz).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from shared.errors import PitchError
from shared.words import Amount, FigureStyle, current, say

STANDARD_A4_HZ = 440.0
_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_ALTER = {"": 0, "#": 1, "b": -1, "##": 2, "x": 2, "bb": -2}
_SIGN = {0: "", 1: "♯", -1: "♭", 2: "𝄪", -2: "𝄫"}
_SPELLED = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
_WRITTEN = re.compile(r"([A-Ga-g])\s?(##|x|#|bb|b|)\s?(-?[0-9]{1,2})")
_NO_OCTAVE = re.compile(r"[A-Ga-g](?:##|x|#|bb|b|)")
_WITH_H = re.compile(r"[Hh]\s?(##|x|#|bb|b|)\s?(-?[0-9]{1,2})")
_BARE_B = re.compile(r"[Bb]\s?(-?[0-9]{1,2})")
_LONGEST_TEXT = 12


@dataclass(frozen=True)
class Pitch(Amount):
    """A note: its letter, its alteration in semitones, its octave."""

    letter: str
    alter: int
    octave: int

    @classmethod
    def parse(cls, text: str) -> Pitch:
        """The pitch that `text` names: E2, Bb1, B♭1, F#3, F♯3; PitchError when it names none."""
        tidy = _tidy(text)
        if _NO_OCTAVE.fullmatch(tidy):
            ask = say("say its octave: {note}2 or {note}3", note=tidy)
            raise PitchError("", text, ask, what=say("no octave"))
        found = _WRITTEN.fullmatch(tidy)
        if not found:
            ask = say("write a letter, an accidental if any, and an octave: E2, B♭1")
            raise PitchError("", text, ask)
        pitch = cls(found[1].upper(), _ALTER[found[2]], int(found[3]))
        if not 0 <= pitch.midi <= 127:
            ask = say("no string sounds there: octaves run from C-1 to G9")
            raise PitchError("", text, ask)
        return pitch

    @classmethod
    def typed(cls, text: str) -> Pitch:
        """The pitch that a person names as this bench names notes: H is B everywhere, and a bare B
        is B♭ where B is called H. PitchError when `text` names none."""
        tidy = _tidy(text)
        if found := _WITH_H.fullmatch(tidy):
            return cls.parse(f"B{found[1]}{found[2]}")
        if current().style.notes == "H" and (found := _BARE_B.fullmatch(tidy)):
            return cls.parse(f"Bb{found[1]}")
        return cls.parse(text)

    @classmethod
    def written(cls, text: str) -> Pitch:
        """The pitch that scripts and people write on a command line: as in files, and H is B. Where
        B is called H a bare B could mean two notes: PitchError asks which."""
        if current().style.notes == "H" and (found := _BARE_B.fullmatch(_tidy(text))):
            could_be = {"one": f"H{found[1]}", "other": f"Bb{found[1]}"}
            what = say("{number} could mean two notes", number=text.strip())
            raise PitchError("", text, say("write {one} or {other}", **could_be), what=what)
        return cls.typed(text)

    @property
    def midi(self) -> int:
        """MIDI note number; A4 is 69."""
        return 12 * (self.octave + 1) + _STEPS[self.letter] + self.alter

    def hz(self, a4_hz: float = STANDARD_A4_HZ) -> float:
        """Frequency in hertz for a reference A4."""
        return float(a4_hz * 2.0 ** ((self.midi - 69) / 12))

    def moved(self, semitones: int) -> Pitch:
        """The pitch so many semitones higher, spelled as the trade names tunings; PitchError
        where no string sounds."""
        octave, step = divmod(self.midi + semitones, 12)
        return Pitch.parse(f"{_SPELLED[step]}{octave - 1}")

    def show(self) -> str:
        """For a person: real accidentals, and notes named as players here name them."""
        return self.in_words(current().style)

    def in_words(self, style: FigureStyle) -> str:
        """Its name as `style` has it."""
        letter, alter = self.letter, self.alter
        if style.notes == "H" and letter == "B":
            letter, alter = ("B", 0) if alter == -1 else ("H", alter)
        return f"{letter}{_SIGN[alter]}{self.octave}"

    def __str__(self) -> str:
        """As files and histories hold it: the scientific name."""
        return f"{self.letter}{_SIGN[self.alter]}{self.octave}"

    @classmethod
    def __get_pydantic_core_schema__(
        cls, _source: Any, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            _check, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )


def _tidy(text: object) -> str:
    """`text` with one kind of sign for each; empty where it is none, or too long for a note."""
    tidy = text.strip() if isinstance(text, str) and len(text) <= _LONGEST_TEXT else ""
    tidy = tidy.replace("♯", "#").replace("♭", "b").replace("𝄪", "##").replace("𝄫", "bb")
    return tidy.replace("−", "-")


def cents_between(low_hz: float, high_hz: float) -> float:
    """How far `high_hz` lies above `low_hz`, in cents; PitchError unless both are above zero."""
    if not 0 < min(low_hz, high_hz) <= max(low_hz, high_hz) < math.inf:
        ask = say("a frequency is a number of hertz above zero")
        raise PitchError("", (low_hz, high_hz), ask)
    return 1200.0 * math.log2(high_hz / low_hz)


def _check(value: object) -> Pitch:
    if isinstance(value, Pitch):
        return value
    try:
        return Pitch.parse(value)  # type: ignore[arg-type]  # parse refuses what is no text
    except PitchError as error:
        raise PydanticCustomError(
            "pitch", "{what}; {ask}", {"what": error.what, "ask": error.ask}
        ) from error
