"""The board: its frets, each by its pitch above the open string in semitones, and its shape.

A semitone board has fret n at n semitones. A board whose frets lie otherwise lists them: a diatonic
one 2, 4, 5, 7, 9, 10, 12, …, one of quarter tones 0.5, 1, 1.5, …; just frets are fractions.
"""

from __future__ import annotations

import itertools
import math
from functools import lru_cache
from typing import Annotated

from pydantic import Field, model_validator

from shared.errors import InputError
from shared.one_or_two import OneOrTwo
from shared.record import Record
from shared.units import Length, LengthOf, refused
from shared.words import numeral, say

MOST_FRETS = 48
"""No board has more: two octaves of quarter tones (common practice, no source)."""
HIGHEST_SEMITONES = 48
"""Four octaves: a sixteenth of the string is left to sound (common practice, no source)."""
LEAST_STEP = 0.1
"""Semitones between one fret and the next: under half a comma, the least step that boards are
known to have (from memory, no source)."""
OCTAVE = 12.0


class Board(Record):
    """Where the frets of a board are, without a list at whole semitones; how it is curved, and
    where its neck ends."""

    semitones: (
        Annotated[
            tuple[Annotated[float, Field(gt=0, le=HIGHEST_SEMITONES)], ...],
            Field(min_length=1, max_length=MOST_FRETS),
        ]
        | None
    ) = None
    """The pitch of each fret above the open string, from the nut up; None: a semitone board."""
    frets: Annotated[int, Field(ge=1, le=MOST_FRETS)] | None = None
    """How many there are; None where a semitone board's were not counted, or a list says it."""
    tied: bool = False
    """Whether the frets are tied round the neck, and so can be moved."""
    radius: Annotated[Length | tuple[Length, Length], OneOrTwo(LengthOf.BOARD_RADIUS)] | None = None
    """Of the curve across it, over the frets; two where it is a cone: at the nut and at the last
    fret. None where nobody measured it."""
    join: Annotated[int, Field(ge=1, le=MOST_FRETS)] | None = None
    """The fret where the neck meets the body, beyond which it does not bend."""

    @model_validator(mode="after")
    def _rises(self) -> Board:
        listed = self.semitones or ()
        if listed and self.frets not in (None, len(listed)):
            said = {"frets": self.frets, "listed": len(listed)}
            what = say("counts {frets} frets and lists {listed}", **said)
            raise refused(
                "board",
                InputError(
                    "", "", say("write the list alone: it says how many there are"), what=what
                ),
            )
        if self.join and self.count and self.join > self.count:
            raise refused("board", _joined_beyond(self.join, self.count))
        for number, (below, above) in enumerate(itertools.pairwise((0.0, *listed)), 1):
            if round(above - below, 9) < LEAST_STEP:
                raise refused("board", _too_close(number, below, above))
        return self

    @property
    def count(self) -> int | None:
        """How many frets there are; None where nobody counted them."""
        return len(self.semitones) if self.semitones else self.frets

    @property
    def is_semitone(self) -> bool:
        """Whether every fret lies at its own number of semitones."""
        return all(at == number for number, at in enumerate(self.semitones or (), 1))

    def semitones_at(self, fret: int) -> float:
        """Pitch of a fret above the open string; 0 at the nut. A list is continued past its last
        fret, for what is reckoned beyond the board's end: see `_continued`."""
        if fret <= 0 or not self.semitones:
            return float(fret)
        return _continued(self.semitones, fret)[fret - 1]

    def nearest_fret(self, semitones: float) -> int:
        """The fret whose pitch is nearest to this, the lower of two."""
        last = self.count or MOST_FRETS
        if not self.semitones:
            return min(max(math.ceil(semitones - 0.5), 1), last)
        return min(range(1, last + 1), key=lambda fret: abs(self.semitones_at(fret) - semitones))

    @property
    def octave_fret(self) -> int:
        """The fret an octave up, over which action is measured; the nearest to it where the board
        has none."""
        return self.nearest_fret(OCTAVE)

    def with_frets(self, count: int) -> Board:
        """The same board with so many frets: cut off, or continued as `semitones_at` says.
        ValidationError for a count that no board has."""
        given = self.model_dump(exclude_none=True) | {"frets": count}
        if self.semitones and 1 <= count <= MOST_FRETS:
            given["semitones"] = _continued(self.semitones, count)[:count]
        return Board.model_validate(given)


SEMITONE_BOARD = Board()


@lru_cache(maxsize=64)
def _continued(listed: tuple[float, ...], count: int) -> tuple[float, ...]:
    """At least `count` frets: those listed, and beyond the last the steps of an octave lower, or
    semitones where none is an octave."""
    octave = listed.index(OCTAVE) + 1 if OCTAVE in listed else 0
    pitches = [0.0, *listed]
    while len(pitches) <= count:
        step = pitches[-octave] - pitches[-octave - 1] if octave else 1.0
        pitches.append(pitches[-1] + step)
    return tuple(pitches[1:])


def _joined_beyond(join: int, count: int) -> InputError:
    what = say(
        "the neck joins the body at fret {join} of a board of {count}", join=join, count=count
    )
    return InputError("", "", say("count the frets up to the body"), what=what)


def _too_close(number: int, below: float, above: float) -> InputError:
    at = {"number": number, "below": numeral(below, "g"), "above": numeral(above, "g")}
    if number == 1:
        what = say("its first fret lies on the nut ({above})", **at)
    elif above <= below:
        what = say(
            "fret {number} is no higher than the one before it ({above} after {below})", **at
        )
    else:
        what = say("fret {number} all but touches the one before it ({above} after {below})", **at)
    ask = say("list the frets in semitones above the open string, from the nut up: 2, 4, 5, 7, …")
    return InputError("", "", ask, what=what)
