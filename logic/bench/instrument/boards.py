"""An instrument with its frets elsewhere: how they are spaced, how many there are, and which of
them are missing; nothing here is recorded."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Any

from pydantic import ValidationError

from logic.bench.instrument.fret_names import DIATONIC, fret_name
from shared.board import HIGHEST_SEMITONES, MOST_FRETS, Board
from shared.errors import InputError
from shared.instrument import Instrument
from shared.words import numeral, say

HALF_FRETS = {"1½": 3, "6½": 11}
"""Frets that are added to a diatonic board, by what they are called, in semitones of an octave: the
minor third and the major seventh (common practice, no source)."""
UNCOUNTED_REACH = 24
"""Semitones that a board is taken to reach where nobody counted its frets: two octaves."""


class FretSpacing(StrEnum):
    """Where the frets of a board are."""

    SEMITONES = "every semitone"
    DIATONIC = "diatonic"
    LISTED = "own list"
    NONE = "no frets"


def spacing_of(instrument: Instrument) -> FretSpacing:
    """How the frets of this board are spaced."""
    board = instrument.fretboard
    if not instrument.fretted:
        return FretSpacing.NONE
    if board.is_semitone:
        return FretSpacing.SEMITONES
    return FretSpacing.DIATONIC if _is_diatonic(pitches_of(board)) else FretSpacing.LISTED


def pitches_of(board: Board) -> tuple[float, ...]:
    """The pitch of every fret above the open string, in semitones; two octaves of them where nobody
    counted."""
    count = board.count or UNCOUNTED_REACH
    return board.semitones or tuple(float(fret) for fret in range(1, count + 1))


def half_frets_of(instrument: Instrument) -> tuple[str, ...]:
    """Which half frets a diatonic board has."""
    if spacing_of(instrument) is not FretSpacing.DIATONIC:
        return ()
    pitches = pitches_of(instrument.fretboard)
    return tuple(name for name, at in HALF_FRETS.items() if at in pitches)


def with_spacing(instrument: Instrument, spacing: FretSpacing) -> Instrument:
    """With its frets spaced so, as far up the board as they reached. Of an own list that is to be
    typed the frets stay until one is."""
    if spacing is spacing_of(instrument):
        return instrument
    if spacing is FretSpacing.NONE:
        return instrument.model_copy(update={"fretted": False})
    again = instrument.model_copy(update={"fretted": True})
    board = again.fretboard
    reach = int(pitches_of(board)[-1])
    if spacing is FretSpacing.DIATONIC:
        return with_pitches(again, _diatonic(reach, ()))
    if spacing is FretSpacing.SEMITONES and not board.is_semitone:
        plain = {"semitones": None, "frets": min(reach, MOST_FRETS)}
        return _on(again, board.model_copy(update=plain))
    return again


def with_half_fret(instrument: Instrument, name: str) -> Instrument:
    """A diatonic board with or without the half fret of this name, in every octave that it
    reaches; any other as it was."""
    if spacing_of(instrument) is not FretSpacing.DIATONIC:
        return instrument
    halves = set(half_frets_of(instrument)) ^ {name}
    reach = int(pitches_of(instrument.fretboard)[-1])
    return with_pitches(instrument, _diatonic(reach, halves))


def with_fret(instrument: Instrument, semitones: float) -> Instrument:
    """With a fret at this pitch, or without the one that is there. InputError where it is the last
    that is left, or all but touches another."""
    pitches = pitches_of(instrument.fretboard)
    if semitones not in pitches:
        return with_pitches(instrument, sorted((*pitches, semitones)))
    return with_pitches(instrument, [at for at in pitches if at != semitones])


def with_frets(instrument: Instrument, text: str) -> Instrument:
    """With so many frets, spaced on as those before. InputError for a count that no board has."""
    count = _whole(text)
    if count is None or not 1 <= count <= MOST_FRETS:
        ask = say("type how many frets the board has, from 1 to {most}", most=MOST_FRETS)
        raise InputError("", text, ask, what=say("no board has so many: {text}", text=_bare(text)))
    board = instrument.fretboard
    pitches = board.semitones
    if pitches and _is_diatonic(pitches):
        return with_pitches(instrument, _diatonic_count(count, half_frets_of(instrument)))
    _refuse_nuts_beyond(instrument, count)
    return _checked(instrument, board.model_dump(exclude_none=True), count)


def with_next_listed(instrument: Instrument, before: int, text: str) -> Instrument:
    """With the first `before` frets as they are listed and one more at the pitch that was typed.
    InputError, with what to ask, where it lies no higher than the one before it."""
    try:
        at = float(_bare(text).replace(",", "."))
    except ValueError as error:
        ask = say("type semitones above the open string, such as 2 or 3.5")
        raise InputError("", text, ask, what=say("that is no number")) from error
    listed = pitches_of(instrument.fretboard)[:before]
    if not 0 < at <= HIGHEST_SEMITONES:
        ask = say("type semitones above the open string, up to {most}", most=HIGHEST_SEMITONES)
        what = say("no fret lies at {at} semitones", at=numeral(at, "g"))
        raise InputError("", text, ask, what=what)
    return _listed(instrument, (*listed, at))


def with_tied(instrument: Instrument, tied: bool) -> Instrument:
    """With frets that are tied round the neck, or fixed."""
    board = instrument.board or Board()
    return _on(instrument, board.model_copy(update={"tied": tied}))


def with_pitches(instrument: Instrument, pitches: Iterable[float]) -> Instrument:
    """With its frets at these pitches. InputError where they do not rise, or leave none."""
    listed = tuple(map(float, pitches))
    if not listed:
        ask = say("choose “no frets” for a bare board")
        raise InputError("", "", ask, what=say("this is the only fret that is left"))
    _refuse_nuts_beyond(instrument, len(listed))
    return _listed(instrument, listed)


def _listed(instrument: Instrument, listed: tuple[float, ...]) -> Instrument:
    given = instrument.fretboard.model_dump(exclude_none=True, exclude={"semitones", "frets"})
    if any(at != number for number, at in enumerate(listed, 1)):
        given["semitones"] = listed
    return _checked(instrument, given, len(listed))


def _refuse_nuts_beyond(instrument: Instrument, count: int) -> None:
    """InputError where a string's own nut stands where the board has no fret beyond it."""
    nuts = [spec for spec in instrument.strings if spec.from_fret >= count]
    if nuts:
        name = instrument.name_of(nuts[0].string)
        fret = fret_name(instrument.fretboard, nuts[0].from_fret)
        what = say("string {name} has its own nut at fret {fret}", name=name, fret=fret)
        raise InputError("", count, say("move that nut first"), what=what)


def _checked(instrument: Instrument, given: dict[str, Any], count: int) -> Instrument:
    """With the board that is given, of so many frets. InputError where there is none such."""
    try:
        board = Board.model_validate({**given, "frets": None})
        return _on(instrument, board.with_frets(count))
    except ValidationError as error:
        raise _refusal(error) from error


def _refusal(error: ValidationError) -> InputError:
    """What pydantic gathered, as one line; what it says by itself asks for a list that is
    possible."""
    found = error.errors()[0]
    context = found.get("ctx", {})
    most = say("a board has {most} frets at most", most=MOST_FRETS)
    ask = context.get("ask") or say("list the frets from the nut up, each higher than the last")
    return InputError("", found["input"], ask, what=context.get("what") or most)


def _on(instrument: Instrument, board: Board) -> Instrument:
    plain = board == Board()
    return instrument.model_copy(update={"board": None if plain else board, "fretted": True})


def _diatonic(reach: int, halves: Iterable[str]) -> list[float]:
    """The frets of a diatonic board up to a pitch, with these half frets; one at least."""
    steps = {*DIATONIC, *(HALF_FRETS[name] for name in halves)}
    octaves = range(0, max(reach, DIATONIC[0]), 12)
    pitches = sorted(octave + step for octave in octaves for step in steps)
    return [float(at) for at in pitches if at <= max(reach, DIATONIC[0])][:MOST_FRETS]


def _diatonic_count(count: int, halves: Iterable[str]) -> list[float]:
    return _diatonic(HIGHEST_SEMITONES, halves)[:count]


def _is_diatonic(pitches: Iterable[float]) -> bool:
    """Whether nothing is there but the frets of a diatonic board and half frets."""
    listed = tuple(pitches)
    whole = [at for at in listed if at % 12 not in HALF_FRETS.values()]
    return bool(whole) and whole == _diatonic(int(whole[-1]), ())


def _whole(text: str) -> int | None:
    bare = _bare(text)
    return int(bare) if bare.isdecimal() else None


def _bare(text: str) -> str:
    """The figure that was typed, without what it counts."""
    return text.split()[0] if text.split() else ""
