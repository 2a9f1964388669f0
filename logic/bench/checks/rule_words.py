"""A rule's question and its reason in words, which name frets as they lie on this board."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import fret_names, octave_name
from logic.bench.instrument.frets import has_octave_fret, share_of_action, tuner_frets
from shared.board import SEMITONE_BOARD, Board
from shared.instrument import Instrument
from shared.words import listed, say

if TYPE_CHECKING:
    from logic.bench.tables.rules import Rule


def rule_asked(rule: Rule, instrument: Instrument | None = None) -> str:
    """The question; without an instrument as of a semitone board."""
    return say(rule.ask, **board_facts(instrument))


def rule_reason(rule: Rule, instrument: Instrument | None = None) -> str:
    """Why it is asked; and where the action is asked over a fret that is no octave up, that none
    is."""
    why = say(rule.why, **board_facts(instrument))
    if instrument is None or "{octave}" not in rule.ask or has_octave_fret(instrument):
        return why
    nearest = octave_name(instrument.fretboard)
    return say(
        "{why} No fret lies an octave up: fret {fret} is the nearest.", why=why, fret=nearest
    )


def board_facts(instrument: Instrument | None) -> dict[str, object]:
    """What a rule's words may name of a board: the fret an octave up, what arrives over the first
    fret of a change there, and where a tuner is read."""
    board = instrument.fretboard if instrument else SEMITONE_BOARD
    if instrument is None or board.is_semitone:
        tuner = say("first, fifth and twelfth")
    else:
        tuner = _tuner_in_words(instrument)
    octave = octave_name(board)
    return {
        "octave": octave,
        "midway": _midway(instrument, octave),
        "lifts": _lifts(instrument, board),
        "tuner": tuner,
    }


def _midway(instrument: Instrument | None, octave: str) -> str:
    """Where half of what moves at the nut arrives."""
    if instrument is None or has_octave_fret(instrument):
        return say("at fret {octave}", octave=octave)
    return say("half-way along the string")


def _lifts(instrument: Instrument | None, board: Board) -> str:
    """How much of a higher action arrives over the first fret."""
    if board.is_semitone and (instrument is None or has_octave_fret(instrument)):
        return say("a ninth")
    return say("{percent} %", percent=round(100 * share_of_action(board)))


def _tuner_in_words(instrument: Instrument) -> str:
    spec = instrument.strings[0]
    frets = fret_names(instrument, spec.string)
    far = [frets.of(fret) for fret in tuner_frets(spec, instrument)[1:][-2:]]
    return say("first, and at frets {frets}", frets=listed(far)) if far else say("first")
