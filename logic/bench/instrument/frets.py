"""Where the frets lie under one string, counted from its own nut as readings count them."""

from __future__ import annotations

from functools import lru_cache

from logic.bench.instrument.fret_names import NEAR
from logic.physics.neck import Neck, fret_position_mm, slot_to_clearance
from shared.board import MOST_FRETS, OCTAVE, Board
from shared.instrument import Instrument, StringSpec


def nut_semitones(spec: StringSpec, instrument: Instrument) -> float:
    """How far up the board its own nut stands; 0 on the common nut."""
    return instrument.semitones_at(spec.from_fret)


def own_semitones(spec: StringSpec, instrument: Instrument) -> tuple[float, ...]:
    """The pitch of each fret above the string open at its own nut, as a `Neck` wants it: none on a
    semitone board, and elsewhere as many as any board has."""
    board = instrument.fretboard
    return () if board.is_semitone else _from_fret(board, spec.from_fret)


def own_frets(spec: StringSpec, instrument: Instrument) -> int:
    """How many frets it has; as many as a `Neck` usually has where nobody counted them."""
    last = instrument.last_fret
    return Neck.frets if last is None else max(last - spec.from_fret, 1)


def semitones_of(spec: StringSpec, instrument: Instrument, fret: int) -> float:
    """The pitch of a fret, counted from the string's own nut, above the open string."""
    own = own_semitones(spec, instrument)
    return own[fret - 1] if own and fret > 0 else float(fret)


def cut_share(instrument: Instrument, string: int) -> float:
    """How much of a cut in its slot arrives over the string's first fret; all of it where the
    clearance is over a bare board, right in front of the nut."""
    if not instrument.fretted:
        return 1.0
    return slot_to_clearance(semitones_of(instrument.spec(string), instrument, 1))


def action_fret(spec: StringSpec, instrument: Instrument) -> int | None:
    """The fret over which its action is measured, an octave up the board; None where its own nut,
    or its first fret, lies there."""
    fret = instrument.octave_fret - spec.from_fret
    return fret if fret > 1 else None


def has_octave_fret(instrument: Instrument) -> bool:
    """Whether a fret lies an octave up the board; on a bare board the place of one does."""
    return abs(instrument.semitones_at(instrument.octave_fret) - OCTAVE) <= NEAR


def action_share(instrument: Instrument) -> float:
    """Of a change of the action over the octave's fret, how much arrives over fret 1 while the
    slots stay: 0.112 on a semitone board (an open string is a straight line). Nothing where the
    clearance is over a bare board, right in front of the nut."""
    return share_of_action(instrument.fretboard) if instrument.fretted else 0.0


def share_of_action(board: Board) -> float:
    """The same of a board with frets."""
    first, octave = (board.semitones_at(fret) for fret in (1, board.octave_fret))
    return fret_position_mm(1.0, first) / fret_position_mm(1.0, octave)


def in_tune_fret(spec: StringSpec, instrument: Instrument) -> int:
    """The fret that the saddle puts right: an octave up the board; of a string that starts there or
    beyond, an octave up the string."""
    fret = action_fret(spec, instrument)
    if fret is None:
        octave = nut_semitones(spec, instrument) + OCTAVE
        fret = instrument.fretboard.nearest_fret(octave) - spec.from_fret
    return max(fret, 1)


def has_fret(spec: StringSpec, instrument: Instrument, fret: int) -> bool:
    """Whether there is a fret of this number, counted from the string's own nut; of a board that
    nobody counted any may be."""
    last = instrument.last_fret
    return last is None or spec.from_fret + fret <= last


def tuner_frets(spec: StringSpec, instrument: Instrument) -> tuple[int, ...]:
    """The frets at which a tuner is offered to be read: the first three, which speak of the nut,
    one about a fourth up, and the octave, which speaks of the saddle and the string. On a semitone
    board 1, 2, 3, 5 and 12."""
    own = own_semitones(spec, instrument) or tuple(map(float, range(1, MOST_FRETS + 1)))
    there = own if instrument.last_fret is None else own[: own_frets(spec, instrument)]
    far = (_nearest(there, pitch) for pitch in (_FOURTH, OCTAVE))
    return tuple(sorted({*range(1, min(len(there), 3) + 1), *far}))


_FOURTH = 5.0


def _nearest(pitches: tuple[float, ...], semitones: float) -> int:
    return min(range(1, len(pitches) + 1), key=lambda fret: abs(pitches[fret - 1] - semitones))


@lru_cache(maxsize=64)
def _from_fret(board: Board, start: int) -> tuple[float, ...]:
    nut = board.semitones_at(start)
    return tuple(board.semitones_at(start + fret) - nut for fret in range(1, MOST_FRETS + 1))
