"""A visit of the whole instrument in words: its stages, its values, what was done, what is next."""

from __future__ import annotations

from collections.abc import Callable

from logic.bench.instrument.fret_names import fret_name, fret_names, octave_name
from logic.bench.instrument.naming import strings_listed
from logic.bench.setup.measured import (
    MeasuredValue,
    QuestionKind,
    SetupQuestion,
    StageState,
    WindowStanding,
)
from shared.instrument import Instrument
from shared.job import Pass
from shared.measurements import Posture, Side
from shared.setup import (
    ReferStep,
    RestStep,
    SaddleStep,
    Scope,
    SetBackStep,
    SetupStep,
    SkipStep,
    Stage,
    StringsStep,
    TurnStep,
)
from shared.units import Length
from shared.words import inside, listed, mark, say, say_many

SCOPES = {
    Scope.NUT: mark("Nut only"),
    Scope.WHOLE: mark("Whole set-up"),
    Scope.CHECK: mark("Check only"),
}
STAGES = {
    Stage.STRINGS: mark("strings and tuning"),
    Stage.RELIEF: mark("relief"),
    Stage.ACTION: mark("action"),
    Stage.SADDLE: mark("saddle height"),
    Stage.FRETS: mark("frets"),
    Stage.NUT: mark("nut"),
    Stage.INTONATION: mark("intonation"),
    Stage.PROOF: mark("proof"),
    Stage.DONE: mark("hand-over"),
}
STATES = {
    StageState.DONE: mark("done"),
    StageState.DUE: mark("comes next"),
    StageState.WAITING: mark("waits"),
    StageState.SKIPPED: mark("skipped"),
    StageState.LEFT_OUT: mark("not part of this visit"),
}
STANDINGS = {
    WindowStanding.UNREAD: mark("not read"),
    WindowStanding.BELOW: mark("below its window"),
    WindowStanding.INSIDE: mark("inside its window"),
    WindowStanding.ABOVE: mark("above its window"),
    WindowStanding.UNSURE: mark("not sure yet"),
}
POSTURES = {
    Posture.PLAYED: mark("as it is played"),
    Posture.BACK: mark("on its back"),
    Posture.SIDE: mark("on its side"),
    Posture.PROPPED: mark("propped under its head"),
}
RELIEF_ON = {
    Side.BASS: mark("relief, bass side"),
    Side.TREBLE: mark("relief, treble side"),
    None: mark("relief"),
}
ROD_CARE = mark(
    "Slacken the strings before a hard turn. A rod that will not turn, or turns freely, is work "
    "for a repairer."
)


def value_said(
    quantity: str, side: Side | None, string: int | None, fret: int | None, instrument: Instrument
) -> str:
    """What was measured: relief, bass side; action of string 6 at fret 12."""
    if quantity == "relief" or string is None:
        return say(RELIEF_ON[side])
    name, called = strings_listed((instrument.name_of(string),)), fret_names(instrument, string)
    return say("action of {string} at fret {fret}", string=name, fret=called.of(fret or 0))


def standing_said(value: MeasuredValue) -> str:
    """Where a value stands, and whether that was measured and still holds."""
    if value.predicted:
        return say("not read, predicted")
    if value.stale:
        return say("stale: measure it again")
    return say(STANDINGS[value.standing])


def postures_said(postures: tuple[Posture, ...]) -> str:
    """How it lay, where that was not the same throughout."""
    ways = listed(say(POSTURES[posture]) for posture in postures)
    return say(
        "It was measured {ways}. A neck sags by itself, so these are not believed together: the "
        "latest stands. Measure all of it alike.",
        ways=ways,
    )


# --- what was done ---


def cause_said(cause: object, instrument: Instrument) -> str:
    """What moved something: a step, a file in its slot, or other work."""
    if isinstance(cause, SetupStep):
        return step_said(cause, instrument)
    return say("slot filed") if isinstance(cause, Pass) else say("work on the nut")


def step_said(step: SetupStep, instrument: Instrument) -> str:
    """One step, as a sentence goes on with it: rod turned by two eighths towards less relief."""
    known = _STEPS.get(type(step))
    if known is None:
        return say("a step that this version does not know ({step})", step=step.step[:40])
    return known(step, instrument)


def _turn(step: TurnStep, _: Instrument) -> str:
    if not step.eighths:
        return say("rod turned")
    count = abs(step.eighths)
    if step.eighths < 0:
        return say_many(
            "rod turned by {count} eighth of a turn, towards less relief",
            "rod turned by {count} eighths of a turn, towards less relief",
            count,
        )
    return say_many(
        "rod turned by {count} eighth of a turn, towards more relief",
        "rod turned by {count} eighths of a turn, towards more relief",
        count,
    )


def _saddle(step: SaddleStep, instrument: Instrument) -> str:
    where = _under(step.string, instrument)
    if step.height is None or not step.height.exact_mm:
        return say("saddle moved {where}", where=where)
    amount = Length(abs(step.height.exact_mm), step.height.unit)
    if step.height.exact_mm < 0:
        return say("saddle lowered by {amount} {where}", amount=amount, where=where)
    return say("saddle raised by {amount} {where}", amount=amount, where=where)


def _set_back(step: SetBackStep, instrument: Instrument) -> str:
    where = _under(step.string, instrument)
    if step.move is None or not step.move.exact_mm:
        return say("saddle moved along the string {where}", where=where)
    amount = Length(abs(step.move.exact_mm), step.move.unit)
    if step.move.exact_mm < 0:
        return say("saddle moved forward by {amount} {where}", amount=amount, where=where)
    return say("saddle moved back by {amount} {where}", amount=amount, where=where)


def _under(string: int | None, instrument: Instrument) -> str:
    known = {spec.string for spec in instrument.strings}
    if string not in known or string is None:
        return say("under all strings")
    return say("under {string}", string=strings_listed((instrument.name_of(string),)))


def _strings(step: StringsStep, _: Instrument) -> str:
    return say("strings retuned") if step.what == "retuned" else say("strings changed")


def _rest(step: RestStep, _: Instrument) -> str:
    if step.hours is None:
        return say("left to rest")
    return say("left to rest for {hours:g} hours", hours=step.hours)


def _skip(step: SkipStep, _: Instrument) -> str:
    stage = say(STAGES[step.stage])
    if step.why:
        return say("{stage} skipped: {why}", stage=stage, why=step.why)
    return say("{stage} skipped", stage=stage)


def _refer(step: ReferStep, _: Instrument) -> str:
    return say("work for a repairer: {why}", why=step.why) if step.why else say(_REPAIRER)


_REPAIRER = mark("work for a repairer")
_STEPS: dict[type[SetupStep], Callable[..., str]] = {
    TurnStep: _turn,
    SaddleStep: _saddle,
    SetBackStep: _set_back,
    StringsStep: _strings,
    RestStep: _rest,
    SkipStep: _skip,
    ReferStep: _refer,
}


# --- what comes next ---


def question_said(question: SetupQuestion, instrument: Instrument) -> str:
    """What to ask, measure or do next, in a sentence or two."""
    if question.what in _PLAIN:
        return say(_PLAIN[question.what])
    if question.what in (QuestionKind.RELIEF, QuestionKind.ACTION):
        return _measure(question, instrument)
    if question.what is QuestionKind.AS_IT_CAME:
        measure = _measure(question, instrument)
        return say("As it came, before anything is changed. {measure}", measure=measure)
    if question.what is QuestionKind.SET_RELIEF:
        return (
            say(
                "{found} Set it, let it settle, then measure again.",
                found=_found(question, instrument),
            )
            + " "
            + say(ROD_CARE)
        )
    if question.what is QuestionKind.SET_ACTION:
        found = _found(question, instrument)
        return say("{found} Set the saddle, then measure again.", found=found)
    string = strings_listed((instrument.name_of(question.string or 1),))
    return say(_OF_STRING[question.what], string=string, octave=octave_name(instrument.fretboard))


_PLAIN = {
    QuestionKind.PLAYER: mark(
        "Ask how the player likes it, what is never to be changed, and when it is wanted back."
    ),
    QuestionKind.LOOK: mark(
        "Look it over for a minute: cracks, bridge, heel, a loose nut, frets, where the rod is "
        "turned, how dry the room was."
    ),
    QuestionKind.TUNING: mark(
        "Change the strings if they are to be new, tune to the player's pitch, let them settle."
    ),
    QuestionKind.IN_TUNE_AGAIN: mark("Tune again: what was done changed the tension."),
    QuestionKind.FRETS: mark("Look at the frets: loose, worn or high."),
}
_OF_STRING = {
    QuestionKind.NUT: mark("Read {string} over its first fret."),
    QuestionKind.INTONATION: mark(
        "Compare {string}, stopped at fret {octave}, with the open string, in cents."
    ),
    QuestionKind.PROOF: mark("Prove {string}: read it once more and play it."),
}


def _found(question: SetupQuestion, instrument: Instrument) -> str:
    about = question.about
    what = value_said(
        about.quantity if about else "relief",
        question.side,
        question.string,
        question.fret,
        instrument,
    )
    standing = inside(say(STANDINGS[about.standing])) if about else ""
    return say("{what}: {standing}.", what=what[:1].upper() + what[1:], standing=standing)


def _fret(question: SetupQuestion, instrument: Instrument) -> str:
    """What the fret is called: under a held string counted along the board, of an open one from its
    own nut."""
    if question.holds is not None or question.string is None:
        return fret_name(instrument.fretboard, question.fret or 0)
    return fret_names(instrument, question.string).of(question.fret or 0)


def _measure(question: SetupQuestion, instrument: Instrument) -> str:
    """Which string to hold or leave open, and what to slide in where."""
    string = strings_listed((instrument.name_of(question.string or 1),))
    with_what = listed(question.advice.slid_in) if question.advice else ""
    facts = {"string": string, "size": with_what, "fret": _fret(question, instrument)}
    if question.holds is not None:
        low, high = (fret_name(instrument.fretboard, hold) for hold in question.holds)
        if with_what:
            return say(
                "Hold {string} down at frets {low} and {high} and slide {size} in over fret "
                "{fret}.",
                low=low,
                high=high,
                **facts,
            )
        return say(
            "Hold {string} down at frets {low} and {high} and measure the gap over fret {fret}.",
            low=low,
            high=high,
            **facts,
        )
    if with_what:
        return say("Slide {size} in under {string} over fret {fret}, the string open.", **facts)
    return say("Measure how high {string} stands over fret {fret}, the string open.", **facts)
