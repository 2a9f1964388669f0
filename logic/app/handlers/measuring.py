"""Readings, and the way from string to string."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.handlers.player import take_typed_target
from logic.app.handlers.questions import record_answers
from logic.app.handlers.quick_check import (
    back_from_check,
    leaves_to_check,
    take_checked,
)
from logic.app.handlers.records import back_from_keeping
from logic.app.presenters.cutting import cut_of
from logic.app.presenters.number_pad import (
    BY_QUESTION,
    next_number_pad,
    typed_answer,
    typed_reading,
)
from logic.app.presenters.questions import answers_to
from logic.app.presenters.targets import TARGET
from logic.app.presenters.walk import leaves_asked
from logic.app.session.places import Place, Room
from logic.app.session.session import BESIDE_THE_WORK, Handler, Session
from logic.app.wording.calls import reading_in_words, saved_in_words
from logic.bench.plan.walk import Asked, asked_of, next_string, walk_order
from logic.bench.visits.proof import cents_noted
from shared.errors import InputError
from shared.events import Kind
from shared.job import Proof
from shared.readings import Buzz, BuzzReading, CentsReading, Contact, LeafReading, Reading
from shared.units import Length

HEARD = (Buzz.NONE, Buzz.HARD, Buzz.NORMAL, Buzz.SOFT)
"""What the ear may say of an open string."""


def walk(session: Session, command: commands.Walk) -> None:
    """Measure, at the string asked for or at the first that needs it."""
    session.go_walk(command.string)


def feel(session: Session, command: commands.Feel) -> None:
    """Record what the hand felt with the leaf that was asked for; without one, nothing."""
    felt = _felt(session, command.contact)
    if felt is not None:
        _take(session, felt)


def likely_readings(session: Session) -> tuple[Reading, ...]:
    """What may be answered next on the walk: each contact with the leaf that is in the hand, and
    that the open string buzzes; or what the ear may say, where it is asked."""
    if asked_of(session.work.state(session.here)) is Asked.BUZZ:
        return tuple(BuzzReading(string=session.here, buzz=buzz) for buzz in HEARD)
    felt = tuple(_felt(session, contact) for contact in Contact)
    buzzes = BuzzReading(string=session.here, buzz=Buzz.NORMAL)
    return tuple(reading for reading in (*felt, buzzes) if reading is not None)


def _felt(session: Session, contact: Contact) -> Reading | None:
    leaves = _leaves(session)
    if not leaves:
        return None
    leaf = leaves[0] if len(leaves) == 1 else leaves
    return LeafReading(string=session.here, leaf=leaf, contact=contact)


def _leaves(session: Session) -> tuple[Length, ...]:
    """The leaf that is in the hand, by what the screen asks for."""
    if session.place.room == "check":
        return leaves_to_check(session)
    if session.place.room == "cut":
        return cut_of(session.work, session.here, session.taught, session.who).move.leaves
    return leaves_asked(session.work.state(session.here), session.work.job.kit.leaves)


def hear(session: Session, command: commands.Hear) -> None:
    """Record what the open string does; after a cut it is the proof of that string."""
    if session.place.room == "prove":
        heard = Proof(
            string=session.here,
            buzz=command.buzz,
            cents=cents_noted(session.work.job, session.here),
        )
        session.record(Kind.PROOF_TAKEN, proof=heard)
        session.go_in_job("plan", session.here)
    else:
        _take(session, BuzzReading(string=session.here, buzz=command.buzz))


def type_number(session: Session, command: commands.TypeNumber) -> None:
    """Show the number pad, in the way asked for."""
    session.way = command.way


def typed(session: Session, command: commands.NumberTyped) -> None:
    """Keep the number that was typed; what is doubtful is asked back and nothing is kept."""
    way = session.way
    gate = way.removeprefix(BY_QUESTION)
    try:
        if way == TARGET:
            take_typed_target(session, command.text)
        elif gate != way:
            answer = typed_answer(session.work, gate, command.text)
            record_answers(session, answers_to(session.work, gate, session.place.string, answer))
        else:
            _take_typed(session, way, typed_reading(session.work, way, session.here, command.text))
    except InputError as error:
        session.trouble = str(error)
    else:
        session.way = "" if session.place.room == "prove" else next_number_pad(way)


def _take_typed(session: Session, way: str, reading: Reading) -> None:
    """Keep a typed reading; while a tuner is read fret by fret, its string stays at hand. Cents at
    fret 1 belong to the proof that is being taken."""
    if session.place.room == "prove" and isinstance(reading, CentsReading) and reading.fret == 1:
        noted = Proof(string=reading.string, cents=reading.cents)
        session.record(Kind.PROOF_TAKEN, proof=noted)
    elif next_number_pad(way):
        session.record(Kind.READING_TAKEN, reading=reading)
    else:
        _take(session, reading)


def _take(session: Session, reading: Reading) -> None:
    """Keep a reading, then stand where the next is taken: here, another string, the plan."""
    if session.place.room == "check":
        take_checked(session, reading)
        return
    session.record(Kind.READING_TAKEN, reading=reading)
    work, here = session.work, reading.string
    words = reading_in_words(reading, session.wording)
    session.saved = saved_in_words(work.job.instrument.name_of(here), words)
    if session.place.room == "walk" and asked_of(work.state(here)) is Asked.NOTHING:
        following = next_string(walk_order(work.job.instrument), here, work.state)
        session.go_in_job("walk" if following else "plan", following)


def back(session: Session, _: commands.Back) -> None:
    """One room back; from the number pad, to what it was asked for."""
    if session.way:
        session.way = ""
    elif session.place.room in BESIDE_THE_WORK:
        session.go_back_from_bag()
    elif back_from_keeping(session):
        return
    elif session.place.room in _BEFORE:
        session.go_in_job(_BEFORE[session.place.room], _same_string(session))
    elif session.place.room in ("check", "checked"):
        back_from_check(session)
    elif session.place.room == "targets":
        _back_from_targets(session)
    elif session.place.room in ("strings", "nut", "name", "own targets"):
        session.go(Place("instrument", instrument=session.place.instrument))
    elif session.place.room in ("instrument", "rack"):
        session.go(Place("instruments"))
    else:
        session.go(Place())


_BEFORE: dict[str, Room] = {
    "before": "intake",
    "ask": "before",
    "walk": "before",
    "plan": "walk",
    "what if": "plan",
    "raise": "plan",
    "new nut": "raise",
    "cut": "plan",
    "prove": "plan",
    "hand over": "plan",
}


def _back_from_targets(session: Session) -> None:
    """To the plan where there is something to plan, else to where the player was named."""
    if session.work.job.readings:
        session.go_in_job("plan", session.place.string)
    else:
        session.go_in_job("intake")


def _same_string(session: Session) -> int | None:
    return session.place.string if session.place.room in ("cut", "prove") else None


def see_plan(session: Session, command: commands.SeePlan) -> None:
    """Show the plan, one of its lines opened."""
    session.go_in_job("plan", command.string)


MOVES: dict[type, Handler] = {
    commands.Walk: walk,
    commands.Feel: feel,
    commands.Hear: hear,
    commands.TypeNumber: type_number,
    commands.NumberTyped: typed,
    commands.Back: back,
    commands.SeePlan: see_plan,
}
