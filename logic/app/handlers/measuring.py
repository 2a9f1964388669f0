"""Readings, and the steps from string to string."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from logic.app.commands import commands, string_commands
from logic.app.handlers import gaps
from logic.app.handlers.instrument_pages import take_typed_figure
from logic.app.handlers.kit import take_typed_size
from logic.app.handlers.player import take_typed_target
from logic.app.handlers.questions import ask_over_what, take_answer
from logic.app.handlers.quick_check import leaves_to_check, take_checked
from logic.app.handlers.string_card import record_typed_instead
from logic.app.handlers.visit_ways import go_on_visit
from logic.app.presenters.cutting import cut_of
from logic.app.presenters.figures import FRET_PITCH, is_figure
from logic.app.presenters.first_answers import height_in_doubt
from logic.app.presenters.gap_pads import PADS as GAP_PADS
from logic.app.presenters.intake import still_to_ask
from logic.app.presenters.kit_sizes import PADS
from logic.app.presenters.number_pad import (
    BY_QUESTION,
    goes_along_frets,
    next_number_pad,
    typed_answer,
    typed_reading,
)
from logic.app.presenters.questions import asked_again
from logic.app.presenters.targets import TARGET
from logic.app.presenters.visit_parts import reads_as_it_came
from logic.app.presenters.walk import leaves_asked
from logic.app.session.route import Task
from logic.app.session.session import Handler, Session
from logic.app.wording.calls import reading_in_words, saved_in_words
from logic.bench.kit.advice import Tool
from logic.bench.kit.wear import lose
from logic.bench.plan.walk import WalkQuestion, next_string, question_of, walk_on
from logic.bench.visits.proof import cents_noted
from shared.errors import InputError
from shared.events import Kind
from shared.job import Proof
from shared.readings import Buzz, BuzzReading, CentsReading, Contact, LeafReading, Reading
from shared.units import Length
from shared.words import listed, say

HEARD = (Buzz.NONE, Buzz.HARD, Buzz.NORMAL, Buzz.SOFT)
"""What the ear may say of an open string."""


def walk(session: Session, command: commands.Walk) -> None:
    """Measure, at the string asked for or at the first that needs it; a string that was to be read
    afresh is settled again."""
    session.go_walk(command.string)
    session.transient.afresh = None


def feel(session: Session, command: commands.Feel) -> None:
    """Record what the hand felt with the leaf that was asked for; without one, nothing, and say
    so."""
    if session.route.task in gaps.MEASURES:
        gaps.felt(session, command.contact)
        return
    reading = contact_reading(session, command.contact)
    if reading is not None:
        take_reading(session, reading)
    elif session.route.task is Task.WALK:
        _say_settled(session)


def _say_settled(session: Session) -> None:
    session.transient.announced = say("No leaf is asked for here: nothing was recorded.")


def _is_settled(session: Session) -> bool:
    """Whether the walk stands at a string of which nothing is asked."""
    work, here = session.work, session.here
    on_purpose = session.transient.afresh == here and bool(work.job.kit.leaves)
    return question_of(work.state(here)) is WalkQuestion.NOTHING and not on_purpose


def likely_readings(session: Session) -> tuple[Reading, ...]:
    """What may be answered next on the walk: each contact with the leaf that is in the hand, and
    that the open string buzzes; or what the ear may say, where it is asked; nothing where the
    string is settled."""
    if _is_settled(session):
        return ()
    if question_of(session.work.state(session.here)) is WalkQuestion.BUZZ:
        return tuple(BuzzReading(string=session.here, buzz=buzz) for buzz in HEARD)
    felt = tuple(contact_reading(session, contact) for contact in Contact)
    buzzes = BuzzReading(string=session.here, buzz=Buzz.NORMAL)
    return tuple(reading for reading in (*felt, buzzes) if reading is not None)


def foresee(session: Session) -> Iterator[None]:
    """Work out what each answer that is awaited would lead to, one at a step."""
    if session.route.task is Task.WALK:
        for reading in likely_readings(session):
            session.work.foresee(reading)
            yield
    elif session.route.task in gaps.MEASURES:
        for measurement in gaps.likely_measurements(session):
            session.work.foresee_measured(measurement)
            yield


def contact_reading(session: Session, contact: Contact) -> Reading | None:
    """What this contact says with the leaves in the hand; None where no leaf is asked for."""
    leaves = leaves_in_hand(session)
    if not leaves:
        return None
    leaf = leaves[0] if len(leaves) == 1 else leaves
    return LeafReading(string=session.here, leaf=leaf, contact=contact)


def leaves_in_hand(session: Session) -> tuple[Length, ...]:
    """The leaves that the screen asks for: of the check, of the cut, else of the walk."""
    work, here = session.work, session.here
    match session.route.task:
        case Task.CHECK:
            return leaves_to_check(session)
        case Task.CUT:
            return cut_of(work, here, session.slots_filed, session.who).move.leaves
        case _:
            afresh = session.transient.afresh == here
            return leaves_asked(work.state(here), work.job.kit.leaves, afresh=afresh)


def read_afresh(session: Session, command: string_commands.ReadAfresh) -> None:
    """Name a leaf for a string though it is settled; what was read before still counts."""
    if session.route.task in gaps.MEASURES:
        gaps.read_afresh(session)
        return
    session.go_walk(command.string)
    if not session.work.job.kit.leaves:
        session.transient.announced = say("This job's kit has no leaf: type a number instead.")
    session.transient.afresh = command.string


def next_string_needed(session: Session, _: string_commands.NextString) -> None:
    """To the next string of which something is asked; to the plan where none is left."""
    if session.route.task in gaps.MEASURES:
        gaps.go_on(session)
        return
    _go_on_from(session, session.here)


def lack_leaf(session: Session, _: string_commands.LackLeaf) -> None:
    """Take the leaf that is asked for out of this job's kit; of two together the one that was not
    slid in yet. The walk then asks with the next best."""
    if session.route.task in gaps.MEASURES:
        gaps.lack(session)
        return
    asked = session.route.task in (Task.WALK, Task.CARD)
    leaves = leaves_in_hand(session) if asked else ()
    if not leaves:
        session.transient.announced = say("No leaf is asked for here: the kit stays as it is.")
        return
    job = session.work.job
    slid_in = {leaf for reading in job.readings for leaf in reading.leaves}
    gone = [leaf for leaf in leaves if leaf not in slid_in] or list(leaves)
    kit = reduce(lambda kit, leaf: lose(kit, Tool.LEAF, leaf), gone, job.kit)
    session.record(Kind.JOB_CHANGED, field="kit", value=kit)
    session.transient.announced = say(
        "Out of this job's kit: {leaves}. The kit page takes it out for good.",
        leaves=listed(session.wording.tool(leaf) for leaf in gone),
    )


def hear(session: Session, command: commands.Hear) -> None:
    """Record what the open string does; after a cut it is the proof of that string."""
    if session.route.task is Task.PROOF:
        heard = Proof(
            string=session.here,
            buzz=command.buzz,
            cents=cents_noted(session.work.job, session.here),
        )
        session.record(Kind.PROOF_TAKEN, proof=heard)
        session.go_in_job("plan")
    elif session.route.task is Task.WALK and _is_settled(session):
        _say_settled(session)
    else:
        take_reading(session, BuzzReading(string=session.here, buzz=command.buzz))


def type_number(session: Session, command: commands.TypeNumber) -> None:
    """Show the number pad for a number of the kind asked for."""
    session.transient.number_kind = command.kind
    session.transient.frets_listed = 0


def typed(session: Session, command: commands.NumberTyped) -> None:
    """Keep the number that was typed; what is doubtful is asked back and nothing is kept, nor is a
    number that no pad asks for any more, as with a key that was touched twice."""
    kind, correcting = session.transient.number_kind, session.transient.correcting
    if not kind:
        return
    try:
        keep_typed(session, kind, command.text, command.press)
    except InputError as error:
        session.transient.refused = error.in_sentences()
    else:
        alone = session.route.task is Task.PROOF or bool(correcting)
        session.transient.number_kind = "" if alone else _next_pad(session, kind)


def _next_pad(session: Session, kind: str) -> str:
    """The pad of the next fret, where this one goes along them or lists them; else none."""
    if kind == FRET_PITCH:
        return kind
    if not goes_along_frets(kind):
        return ""
    return next_number_pad(kind, session.work.job.instrument, session.here)


def keep_typed(session: Session, kind: str, text: str, press: str = "") -> None:
    """Keep a number as what the pad asked for: a target, a figure, an answer, a reading.

    InputError, and nothing kept, where it can hardly be.
    """
    if kind == TARGET:
        take_typed_target(session, text)
    elif kind in PADS:
        take_typed_size(session, PADS[kind], text)
    elif kind in GAP_PADS:
        gaps.take_typed_gap(session, kind, text)
    elif is_figure(kind):
        take_typed_figure(session, kind, text)
    elif kind.startswith(BY_QUESTION):
        gate = kind.removeprefix(BY_QUESTION)
        answer = typed_answer(session.work, gate, text)
        asked = asked_again(session.work, gate)
        string = session.place.string if asked.per_string else None
        take_answer(session, gate, string, answer)
    else:
        reading = typed_reading(session.work, kind, session.here, text, press)
        take_typed_reading(session, kind, reading)


def take_typed_reading(session: Session, kind: str, reading: Reading) -> None:
    """Keep a typed reading; while a tuner is read fret by fret, its string stays at hand. Cents at
    fret 1 belong to the proof that is being taken."""
    if record_typed_instead(session, reading):
        return
    if session.route.task is Task.PROOF and isinstance(reading, CentsReading) and reading.fret == 1:
        noted = Proof(string=reading.string, cents=reading.cents)
        session.record(Kind.PROOF_TAKEN, proof=noted)
    elif _next_pad(session, kind):
        session.record(Kind.READING_TAKEN, reading=reading)
    else:
        take_reading(session, reading)


def take_reading(session: Session, reading: Reading) -> None:
    """Keep a reading, then stand where the next is taken: here, another string, the plan."""
    if session.route.task is Task.CHECK:
        take_checked(session, reading)
        return
    session.record(Kind.READING_TAKEN, reading=reading)
    session.transient.afresh = None
    work, here = session.work, reading.string
    words = reading_in_words(reading, work.job.instrument, session.wording)
    session.transient.saved = saved_in_words(work.job.instrument.name_of(here), words)
    if session.route.task is Task.WALK and height_in_doubt(work):
        ask_over_what(session)
    elif session.route.task is Task.WALK and question_of(work.state(here)) is WalkQuestion.NOTHING:
        _go_on_from(session, here)


def _go_on_from(session: Session, here: int) -> None:
    """From a string that is settled to the next; what was left to ask until one was read is asked
    now, and walking on follows from its answers. What is read before anything is changed goes from
    one side to the other."""
    work = session.work
    if reads_as_it_came(session.work, here):
        go_on_visit(session)
        return
    if still_to_ask(work):
        session.go_in_job("before")
        return
    following = next_string(walk_on(work.job, here), here, work.state)
    session.go_in_job("walk" if following else "plan", following)


def see_plan(session: Session, command: commands.SeePlan) -> None:
    """Show the plan, one of its lines opened."""
    session.go_in_job("plan", command.string)


HANDLERS: dict[type, Handler] = {
    commands.Walk: walk,
    commands.Feel: feel,
    commands.Hear: hear,
    commands.TypeNumber: type_number,
    commands.NumberTyped: typed,
    commands.SeePlan: see_plan,
    string_commands.ReadAfresh: read_afresh,
    string_commands.NextString: next_string_needed,
    string_commands.LackLeaf: lack_leaf,
}
