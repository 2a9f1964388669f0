"""What players call the frets of a board, which is not always their number from the nut.

On a diatonic board they count its whole frets alone, and call one that was added between two of
them by the half: 1, 1½, 2 … 6, 6½, 7 (common practice, no source). Data count every fret.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import lru_cache

from shared.board import OCTAVE, SEMITONE_BOARD, Board
from shared.instrument import Instrument

DIATONIC = (2, 4, 5, 7, 9, 10, 12)
"""Semitones of the whole frets of one octave on a diatonic board: the major scale with a flat
seventh, as such boards are fretted for the drone string (common practice, no source)."""
NEAR = 0.35
"""Semitones by which a fret may lie beside its place: a pure third or seventh lies up to a sixth of
a tone beside the equal one, and a quarter tone is another note."""
HALF = "½"


@dataclass(frozen=True)
class FretNames:
    """The names of the frets under one string, counted from its own nut as readings count them."""

    board: Board = SEMITONE_BOARD
    nut_at: int = 0
    """The fret of the board where the string's nut stands; 0 is the common nut."""

    def of(self, counted: int) -> str:
        """What the fret so far from its nut is called on the board."""
        return fret_name(self.board, self.nut_at + counted)

    @property
    def first(self) -> str:
        """What its own first fret is called."""
        return self.of(1)


COUNTED = FretNames()
"""On the common nut of a semitone board every fret is called by its number."""


def fret_names(instrument: Instrument, string: int) -> FretNames:
    """The names of the frets under one string of an instrument; KeyError when there is none."""
    return FretNames(instrument.fretboard, instrument.spec(string).from_fret)


def fret_name(board: Board, fret: int) -> str:
    """What players call a fret, counted from the common nut: its number, or on a diatonic board
    the number of the last whole fret up to it, with ½ where it lies beyond that."""
    if fret <= 0 or not _is_named_by_whole_frets(board):
        return str(fret)
    place = round(board.semitones_at(fret))
    whole = sum(at <= place for at in _whole_frets(place))
    half = "" if place in _whole_frets(place) else HALF
    return f"{whole or ''}{half}"


def octave_name(board: Board) -> str:
    """What players call the fret over which action is measured."""
    return fret_name(board, board.octave_fret)


@lru_cache(maxsize=64)
def _is_named_by_whole_frets(board: Board) -> bool:
    """Whether every whole fret is there as far as the board goes, and so little between them that
    it is no semitone board with some left out: of the five whole tones of an octave two are open
    at least, and one of an octave that only begins."""
    listed = board.semitones or ()
    places = [round(at) for at in listed]
    there = set(places)
    near = all(abs(at - place) <= NEAR for at, place in zip(listed, places, strict=True))
    whole = _whole_frets(max(places, default=0))
    if not near or len(there) < len(places) or not there >= set(whole):
        return False
    tones = [above for below, above in itertools.pairwise((0, *whole)) if above - below == 2]
    octaves = [list(each) for _, each in itertools.groupby(tones, lambda at: (at - 1) // 12)]
    opened = [sum(at - 1 not in there for at in each) for each in octaves]
    least = [2 if place == 0 or len(each) == 5 else 1 for place, each in enumerate(octaves)]
    return bool(opened) and all(one >= other for one, other in zip(opened, least, strict=True))


def _whole_frets(reach: int) -> tuple[int, ...]:
    """Semitones of the whole frets up to a pitch."""
    octaves = range(0, reach + 1, int(OCTAVE))
    every = (octave + step for octave in octaves for step in DIATONIC)
    return tuple(at for at in every if at <= reach)
