"""Why a call is made, and why a check stands as it does: plans publish these words, so that a value
here never changes; what people read is said in the bench's language."""

from __future__ import annotations

from enum import StrEnum

from shared.record import Record
from shared.words import mark


class CallReason(StrEnum):
    """Why the readings of one string lead to its call."""

    ON_TARGET = mark("on target")
    A_HAIR_HIGH = mark("a hair high")
    LOW_BUT_CLEAN = mark("low but clean")
    TOO_HIGH = mark("too high")
    LOW_AND_BUZZES = mark("low and buzzes")
    LOW_FOR_HARD_PLAYING = mark("low for hard playing")
    RESTING = mark("rests on the crown")
    NOT_HEIGHT = mark("buzz is not height")
    HEIGHT_OR_NOT = mark("height or something else")
    PLAY_IT_OPEN = mark("play it open")
    NOT_READ = mark("not read yet")
    NOT_SURE = mark("not sure yet")
    NO_WINDOW = mark("no such clearance")
    CONTRADICTED = mark("readings contradict")
    TIGHT_AND_LOW = mark("tight and low")
    ONE_PIECE = mark("the nut is one piece")
    SADDLE_FIRST = mark("the saddle first")
    MOVED = mark("moved since it was read")


class GateReason(StrEnum):
    """The reasons of checks that code decides by. Those of the book of rules stand in
    `assets/rules.json` too, with all others that are only said."""

    NOT_UNDERSTOOD = mark("answer not understood")
    COMPLAINT_NOT_UNDERSTOOD = mark("complaint not understood")
    AT_ODDS = mark("answers disagree")
    SKIPPED = mark("skipped")
    NOT_ASKED = mark("not asked")
    NO_SUCH_QUESTION = mark("not a question known here")
    PLAYS_TONIGHT = "plays tonight"
    NEVER_IN_A_HURRY = "never cut in a hurry"
    ZERO_FRET = "zero fret"
    SHIM_UNDER_THE_NUT = "shim under the nut"
    SLOT_WALL_BROKEN = "slot wall broken"
    V_SHAPED_SLOT = "V-shaped slot"
    SLOT_TOO_NARROW = "slot too narrow"
    SLOT_NARROWER = "narrow, but does it bind"
    SLOT_TOO_WIDE = "slot too wide"
    RELIEF_FIRST = "relief first"
    LOW_FRETS_FIRST = "frets 1 to 3 first"
    SLOT_FLOOR_FIRST = "slot floor first"
    ONE_OFF_IN_PITCH = "one off in pitch"
    NUT_POSITION_FIRST = "nut position first"


MADE_HERE = frozenset(
    {
        GateReason.NOT_UNDERSTOOD,
        GateReason.COMPLAINT_NOT_UNDERSTOOD,
        GateReason.AT_ODDS,
        GateReason.SKIPPED,
        GateReason.NOT_ASKED,
        GateReason.NO_SUCH_QUESTION,
    }
)
"""Reasons that no rule of the book gives: they are about the answer itself."""


class Lack(StrEnum):
    """What an open check lacks; plans publish it behind the name of the check."""

    ANSWER = "not answered yet"
    KNOWLEDGE = "not known yet"
    LEFT_OUT = "left out"


class OpenCheck(Record):
    """A check that bars a call because it is open, by the name of its rule."""

    check: str
    lacks: Lack

    @property
    def reason(self) -> str:
        """As a plan publishes it: "nut type not answered yet"."""
        return f"{self.check.replace('_', ' ')} {self.lacks}"
