"""What was taken back, in words: no undo goes unsaid."""

from __future__ import annotations

from collections.abc import Sequence

from logic.app.session.older_apps import speaks_to_older_apps
from logic.app.session.open_job import OpenedJob
from logic.app.wording.steps import step_in_words as done_in_words
from logic.app.wording.strokes import strokes_in_words
from logic.app.wording.work import work_in_words
from logic.bench.checks.rule_words import rule_asked
from logic.bench.instrument.fret_names import fret_names
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.quantities import quantity_of
from logic.bench.tables.trade_tables import TradeTables
from shared.events import Event, Kind
from shared.instrument import Instrument
from shared.job import Pass, Proof
from shared.measurements import Measurement
from shared.readings import Reading
from shared.record import Record
from shared.setup import SetupStep
from shared.units import length_or_words
from shared.words import mark, say, say_many
from shared.work import Work

SKIPPED = "skipped"
"""The answer of whoever passed a question over."""
_ANSWERS = (Kind.CHECK_ANSWERED, Kind.CHECK_LOOKED_AGAIN)
_CHANGES = {
    "instrument": mark("what the instrument is"),
    "player": mark("who plays it and how"),
    "kit": mark("what is in the bag"),
    "complaint": mark("what was noticed"),
    "to_my_target": mark("whether all come down to their targets"),
    "ticket": mark("the ticket of this visit"),
    "note": mark("the note for the sheets"),
}


def taken_back_in_words(gone: Sequence[Event], work: OpenedJob) -> str:
    """What one undo took back, as a sentence; empty where nothing of it is known."""
    what = step_in_words(gone, work)
    return say("Taken back: {what}.", what=what) if what else ""


def brought_back_in_words(back: Sequence[Event], work: OpenedJob) -> str:
    """What stands again after it had been struck out, as a sentence."""
    return say("Stands again: {what}.", what=step_in_words(back, work))


def standing_again(gone: Sequence[Event], work: OpenedJob) -> list[str]:
    """Whose readings stand again once work among `gone` is taken back, as a sentence; else none."""
    done = [Work.model_validate(e.body["work"]) for e in gone if e.kind == Kind.WORK_DONE]
    ended = {
        reading.string for each in work.job.rounds if each.work in done for reading in each.readings
    }
    if not ended:
        return []
    return [
        say_many(
            "The readings of {count} string stand again.",
            "The readings of {count} strings stand again.",
            len(ended),
        )
    ]


def step_in_words(events: Sequence[Event], work: OpenedJob, *, names_string: bool = True) -> str:
    """What one command recorded: a reading with its string, an answer with its question."""
    answers = [e for e in events if e.kind in _ANSWERS and not speaks_to_older_apps(e.body)]
    others = [each for each in events if each.kind not in _ANSWERS]
    said = [_answers_in_words(answers, work, names_string)] if answers else []
    said += [_other_in_words(each, work, names_string) for each in others]
    return ", ".join(filter(None, said))


def _other_in_words(event: Event, work: OpenedJob, names_string: bool) -> str:
    match event.kind:
        case Kind.READING_TAKEN:
            reading = Reading.model_validate(event.body["reading"])
            frets = fret_names(work.job.instrument, reading.string)
            said = kind_of(reading).sentence(reading, frets)
            return _of_string(said, reading.string, work) if names_string else said
        case Kind.PASS_FILED:
            made = Pass.model_validate(event.body["pass"])
            said = strokes_in_words(made.made, half=made.half)
            return _of_string(said, made.string, work) if names_string else said
        case Kind.PROOF_TAKEN:
            string = Proof.model_validate(event.body["proof"]).string
            return say("the proof of string {name}", name=work.job.instrument.name_of(string))
        case Kind.WORK_DONE:
            done = Work.model_validate(event.body["work"])
            return work_in_words(done, work.trade, work.job.instrument)
        case Kind.SETUP_READ:
            return measured_in_words(measurement_of(event))
        case Kind.SETUP_STEP:
            return done_in_words(SetupStep.model_validate(event.body["step"]))
        case Kind.SETUP_CHOSEN:
            return say("what the visit is for")
        case Kind.JOB_CHANGED:
            return say(_CHANGES[event.body["field"]])
        case Kind.JOB_CLOSED:
            return say("that the job is closed")
        case _:
            return ""


def measurement_of(event: Event) -> Measurement:
    """The measurement that an entry holds."""
    return _Measured.model_validate(event.body).measurement


class _Measured(Record):
    """The part of the body that holds it, read as the kind that it names."""

    measurement: Measurement


def measured_in_words(measurement: Measurement) -> str:
    """What was measured of the whole instrument, as part of a sentence."""
    quantity = quantity_of(measurement)
    return quantity.sentence(measurement) if quantity else say("a measurement of a newer version")


def _of_string(said: str, string: int, work: OpenedJob) -> str:
    name = work.job.instrument.name_of(string)
    return say("{reading} on string {name}", reading=said, name=name)


def _answers_in_words(answers: Sequence[Event], work: OpenedJob, names_string: bool) -> str:
    """One answer by its question; of several how many, and whether they were passed over."""
    skipped = all(each.body["answer"] == SKIPPED for each in answers)
    gates = list(dict.fromkeys(str(each.body["gate"]) for each in answers))
    if len(gates) > 1:
        if skipped:
            return say_many("{count} skipped question", "{count} skipped questions", len(gates))
        return say_many("{count} answer", "{count} answers", len(gates))
    ask = question_named(gates[0], work.trade, work.job.instrument)
    if skipped:
        return say("the skip of “{question}”", question=ask)
    given = answer_in_words(gates[0], answers[-1].body["answer"], work.trade)
    said = say("“{answer}” to “{question}”", answer=given, question=ask)
    strings = [each.body["string"] for each in answers if each.body.get("string") is not None]
    if len(strings) != 1 or not names_string:
        return said
    name = work.job.instrument.name_of(strings[0])
    return say("{answer} for string {name}", answer=said, name=name)


def question_named(gate: str, trade: TradeTables, instrument: Instrument) -> str:
    """A check by what it asks; its own name where no rule of this version is called so."""
    found = (rule for rule in trade.rules.rules if rule.id == gate)
    return next((rule_asked(rule, instrument) for rule in found), gate)


def answer_in_words(gate: str, answer: object, trade: TradeTables) -> object:
    """An answer as its button reads, a length as the bench writes lengths, else as it was given."""
    rule = next((rule for rule in trade.rules.rules if rule.id == gate), None)
    options = rule.options if rule else ()
    label = next((each.label for each in options if each.id == answer), "")
    if label:
        return say(label)
    if rule is not None and rule.kind == "length" and isinstance(answer, str):
        return length_or_words(answer)
    return answer
