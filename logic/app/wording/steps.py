"""What was done to an instrument in a visit, or left out of it, in words."""

from __future__ import annotations

from shared.setup import (
    ReferStep,
    RestStep,
    SaddleStep,
    SetBackStep,
    SetupStep,
    SkipStep,
    Stage,
    StringsStep,
    TurnStep,
)
from shared.words import mark, say

STAGES = {
    Stage.STRINGS: mark("strings and tuning"),
    Stage.RELIEF: mark("relief"),
    Stage.ACTION: mark("action"),
    Stage.SADDLE: mark("the saddle"),
    Stage.FRETS: mark("the frets"),
    Stage.NUT: mark("the nut"),
    Stage.INTONATION: mark("intonation"),
    Stage.PROOF: mark("proof"),
    Stage.DONE: mark("what is done"),
}


def step_in_words(step: SetupStep) -> str:
    """One step, as part of a sentence."""
    match step:
        case TurnStep():
            return say("that the rod was turned")
        case SaddleStep():
            return say("that the saddle was moved")
        case SetBackStep():
            return say("that a saddle was set back")
        case StringsStep(what="retuned"):
            return say("that the strings have another tuning")
        case StringsStep():
            return say("that new strings are on")
        case RestStep():
            return say("that it rested")
        case SkipStep():
            return say("that {stage} is left out", stage=say(STAGES[step.stage]))
        case ReferStep():
            return say("that it is work for a repairer")
        case _:
            return say("a step of the set-up")
