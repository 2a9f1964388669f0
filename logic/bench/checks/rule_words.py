"""A rule's question and its reason in words, which name frets as they lie on this board."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import fret_names, octave_name
from logic.bench.instrument.frets import tuner_frets
from shared.board import SEMITONE_BOARD
from shared.instrument import Instrument
from shared.words import listed, say

if TYPE_CHECKING:
    from logic.bench.tables.rules import Rule


def rule_asked(rule: Rule, instrument: Instrument | None = None) -> str:
    """The question; without an instrument as of a semitone board."""
    return say(rule.ask, **board_facts(instrument))


def rule_reason(rule: Rule, instrument: Instrument | None = None) -> str:
    """Why it is asked."""
    return say(rule.why, **board_facts(instrument))


def board_facts(instrument: Instrument | None) -> dict[str, object]:
    """What a rule's words may name of a board: the fret an octave up, and where a tuner is read."""
    board = instrument.fretboard if instrument else SEMITONE_BOARD
    if instrument is None or board.is_semitone:
        return {"octave": octave_name(board), "tuner": say("first, fifth and twelfth")}
    spec = instrument.strings[0]
    frets = fret_names(instrument, spec.string)
    far = [frets.of(fret) for fret in tuner_frets(spec, instrument)[1:][-2:]]
    read = say("first, and at frets {frets}", frets=listed(far)) if far else say("first")
    return {"octave": octave_name(board), "tuner": read}
