"""Readings, and the way from string to string."""

from __future__ import annotations

from logic.bench.proof import cents_noted
from logic.bench.walk import Asked, asked_of, next_string, walk_order
from logic.desk import commands
from logic.desk.asking import answers_to
from logic.desk.cutting import cut_of
from logic.desk.floor import BESIDE_THE_WORK, Floor, Move
from logic.desk.moves.asking import record_answers
from logic.desk.moves.checking import (
    back_from_check,
    leaves_to_check,
    reopen_after_undo,
    take_checked,
)
from logic.desk.moves.instruments import take_back_change
from logic.desk.moves.keeping import back_from_keeping
from logic.desk.moves.playing import take_typed_target
from logic.desk.number_pad import BY_QUESTION, next_way, typed_answer, typed_reading
from logic.desk.places import JOB_ROOMS, Place, Room
from logic.desk.saying import reading_in_words, saved_in_words
from logic.desk.targets import TARGET
from logic.desk.walking import leaves_asked
from shared.errors import InputError
from shared.events import Kind
from shared.job import Buzz, Contact, Proof, Reading
from shared.units import Length

HEARD = (Buzz.NONE, Buzz.HARD, Buzz.NORMAL, Buzz.SOFT)
"""What the ear may say of an open string."""
ONE_DEED_MS = 500
"""What one touch keeps is kept within this; nobody touches twice so quickly."""


def walk(floor: Floor, command: commands.Walk) -> None:
    """Measure, at the string asked for or at the first that needs it."""
    floor.go_walk(command.string)


def feel(floor: Floor, command: commands.Feel) -> None:
    """Record what the hand felt with the leaf that was asked for; without one, nothing."""
    felt = _felt(floor, command.contact)
    if felt is not None:
        _take(floor, felt)


def likely_readings(floor: Floor) -> tuple[Reading, ...]:
    """What may be answered next on the walk: each contact with the leaf that is in the hand, and
    that the open string buzzes; or what the ear may say, where it is asked."""
    if asked_of(floor.work.state(floor.here)) is Asked.BUZZ:
        return tuple(Reading(string=floor.here, buzz=buzz) for buzz in HEARD)
    felt = tuple(_felt(floor, contact) for contact in Contact)
    buzzes = Reading(string=floor.here, buzz=Buzz.NORMAL)
    return tuple(reading for reading in (*felt, buzzes) if reading is not None)


def _felt(floor: Floor, contact: Contact) -> Reading | None:
    leaves = _leaves(floor)
    if not leaves:
        return None
    leaf = leaves[0] if len(leaves) == 1 else leaves
    return Reading(string=floor.here, leaf=leaf, contact=contact)


def _leaves(floor: Floor) -> tuple[Length, ...]:
    """The leaf that is in the hand, by what the screen asks for."""
    if floor.place.room == "check":
        return leaves_to_check(floor)
    if floor.place.room == "cut":
        return cut_of(floor.work, floor.here, floor.taught, floor.who).move.leaves
    return leaves_asked(floor.work.state(floor.here), floor.work.job.kit.leaves)


def hear(floor: Floor, command: commands.Hear) -> None:
    """Record what the open string does; after a cut it is the proof of that string."""
    if floor.place.room == "prove":
        heard = Proof(
            string=floor.here, buzz=command.buzz, cents=cents_noted(floor.work.job, floor.here)
        )
        floor.record(Kind.PROOF_TAKEN, proof=heard)
        floor.go_in_job("plan", floor.here)
    else:
        _take(floor, Reading(string=floor.here, buzz=command.buzz))


def type_number(floor: Floor, command: commands.TypeNumber) -> None:
    """Show the number pad, in the way asked for."""
    floor.way = command.way


def typed(floor: Floor, command: commands.Typed) -> None:
    """Keep the number that was typed; what is doubtful is asked back and nothing is kept."""
    way = floor.way
    gate = way.removeprefix(BY_QUESTION)
    try:
        if way == TARGET:
            take_typed_target(floor, command.text)
        elif gate != way:
            answer = typed_answer(floor.work, gate, command.text)
            record_answers(floor, answers_to(floor.work, gate, floor.place.string, answer))
        else:
            _take_typed(floor, way, typed_reading(floor.work, way, floor.here, command.text))
    except InputError as error:
        floor.trouble = str(error)
    else:
        floor.way = "" if floor.place.room == "prove" else next_way(way)


def _take_typed(floor: Floor, way: str, reading: Reading) -> None:
    """Keep a typed reading; while a tuner is read fret by fret, its string stays at hand. Cents at
    fret 1 belong to the proof that is being taken."""
    if floor.place.room == "prove" and reading.fret == 1:
        noted = Proof(string=reading.string, cents=reading.cents)
        floor.record(Kind.PROOF_TAKEN, proof=noted)
    elif next_way(way):
        floor.record(Kind.READING_TAKEN, reading=reading)
    else:
        _take(floor, reading)


def _take(floor: Floor, reading: Reading) -> None:
    """Keep a reading, then stand where the next is taken: here, another string, the plan."""
    if floor.place.room == "check":
        take_checked(floor, reading)
        return
    floor.record(Kind.READING_TAKEN, reading=reading)
    work, here = floor.work, reading.string
    words = reading_in_words(reading, floor.wording)
    floor.saved = saved_in_words(work.job.instrument.name_of(here), words)
    if floor.place.room == "walk" and asked_of(work.state(here)) is Asked.NOTHING:
        following = next_string(walk_order(work.job.instrument), here, work.state)
        floor.go_in_job("walk" if following else "plan", following)


def undo(floor: Floor, _: commands.Undo) -> None:
    """Take back the last answer of this job, if there is one, and stand where it was given."""
    if floor.place.instrument:
        take_back_change(floor)
        return
    if floor.place.room not in JOB_ROOMS or not (work := floor.work).steps:
        return
    last = work.steps[-1]
    back_to = work.room_of(last)
    for event in _one_deed(floor, work.steps):
        floor.take_back(event)
    if back_to:
        if back_to[0] == "check":
            reopen_after_undo(floor)
        floor.go_in_job(*back_to)


def _one_deed(floor: Floor, steps: tuple[str, ...]) -> tuple[str, ...]:
    """The latest step, and with an answer the correction that was kept along with it."""
    last, change = floor.history.event(steps[-1]), floor.history.event(steps[-2:][0])
    if last is None or change is None or last.kind != Kind.CHECK_ANSWERED:
        return steps[-1:]
    near = last.stamp.wall_ms - change.stamp.wall_ms <= ONE_DEED_MS
    together = near and change.seq == last.seq - 1
    corrects = change.kind == Kind.JOB_CHANGED and change.body.get("field") == "instrument"
    return (last.id, change.id) if together and corrects else steps[-1:]


def back(floor: Floor, _: commands.Back) -> None:
    """One room back; from the number pad, to what it was asked for."""
    if floor.way:
        floor.way = ""
    elif floor.place.room in BESIDE_THE_WORK:
        floor.go_back_from_bag()
    elif back_from_keeping(floor):
        return
    elif floor.place.room in _BEFORE:
        floor.go_in_job(_BEFORE[floor.place.room], _same_string(floor))
    elif floor.place.room in ("check", "checked"):
        back_from_check(floor)
    elif floor.place.room == "targets":
        _back_from_targets(floor)
    elif floor.place.room in ("strings", "nut", "name", "own targets"):
        floor.go(Place("instrument", instrument=floor.place.instrument))
    elif floor.place.room in ("instrument", "rack"):
        floor.go(Place("instruments"))
    else:
        floor.go(Place())


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


def _back_from_targets(floor: Floor) -> None:
    """To the plan where there is something to plan, else to where the player was named."""
    if floor.work.job.readings:
        floor.go_in_job("plan", floor.place.string)
    else:
        floor.go_in_job("intake")


def _same_string(floor: Floor) -> int | None:
    return floor.place.string if floor.place.room in ("cut", "prove") else None


def see_plan(floor: Floor, command: commands.SeePlan) -> None:
    """Show the plan, one of its lines opened."""
    floor.go_in_job("plan", command.string)


MOVES: dict[type, Move] = {
    commands.Walk: walk,
    commands.Feel: feel,
    commands.Hear: hear,
    commands.TypeNumber: type_number,
    commands.Typed: typed,
    commands.Undo: undo,
    commands.Back: back,
    commands.SeePlan: see_plan,
}
