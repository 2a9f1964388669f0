"""The card of one string: what was read wrong is struck out, put right or brought back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from logic.app.commands import string_commands as commands
from logic.app.presenters.string_card import (
    Recorded,
    answers_instead,
    is_of,
    is_of_instrument,
    is_of_neck,
    pad_of,
    right_reading,
    string_of,
)
from logic.app.presenters.taken_back import standing_again, step_in_words
from logic.app.session.actions import Entry, recorded_with
from logic.app.session.older_apps import (
    READ_AGAIN,
    STALE,
    for_older_apps,
    is_misread_by_older_apps,
    speaks_to_older_apps,
)
from logic.app.session.places import Place
from logic.app.session.route import Task
from logic.app.session.session import Handler, Session
from logic.bench.plan.rounds import unread_after_work
from logic.history.documents.models import JobDocument, PutRight
from shared.events import COUNTS_AS, Event, Kind
from shared.job import Pass, Proof
from shared.measurements import Measurement
from shared.readings import Reading
from shared.words import say


def see_string(session: Session, command: commands.SeeString) -> None:
    """Show the card of a string; Back leads to where it was opened."""
    walks = session.route.task is Task.WALK
    place = Place("string", session.place.job, command.string, back_to="walk" if walks else "plan")
    session.go(place)


def strike_out(session: Session, command: commands.StrikeOut) -> None:
    """Take back this one entry, whenever and on whichever device it was recorded."""
    event = _held(session, command.event)
    if event is None:
        return
    said = [say("Struck out: {what}.", what=step_in_words((event,), session.work))]
    said += standing_again((event,), session.work)
    said += _reopened_in_words(session)
    session.take_back(*_with_it(session, event), and_then=_reopening(session))
    _tell_older_apps(session)
    string = string_of(event, session.here)
    if event.kind == Kind.READING_TAKEN and not session.work.state(string).measured:
        name = session.work.job.instrument.name_of(string)
        said.append(say("String {name} is not read now.", name=name))
    session.transient.announced = " ".join(said)


def bring_back(session: Session, command: commands.Reinstate) -> None:
    """Let a struck-out entry stand again; what was recorded in its place goes with that."""
    event = session.history.event(command.event)
    if event is None or event.id not in session.work.document.undone:
        session.transient.announced = say("This stands already.")
        return
    place = (event.body.get("instead") or {"event": event.id})["event"]
    document = session.work.document
    instead = [
        each.event for each in _put_in_order(document) if (each.instead or each).event == place
    ]
    said = [say("Stands again: {what}.", what=step_in_words((event,), session.work))]
    said += _reopened_in_words(session)
    undos = [name for each in _whole(session, event) for name in undos_of(session, each.id)]
    session.take_back(*undos, *instead, and_then=_reopening(session))
    _tell_older_apps(session)
    session.transient.announced = " ".join(said)


def _put_in_order(document: JobDocument) -> Iterator[PutRight]:
    """Everything that can stand in place of something that was struck out."""
    yield from document.readings
    yield from document.passes
    yield from document.proofs
    yield from document.measurements


def correct(session: Session, command: commands.Correct) -> None:
    """Ask what an entry should have been: on the card, on the number pad, or on its question."""
    event = _held(session, command.event)
    if event is None:
        return
    if event.kind == Kind.CHECK_ANSWERED:
        _ask_again(session, event)
        return
    session.transient.correcting = event.id
    if not answers_instead(event):
        session.transient.number_kind = pad_of(event)


def _ask_again(session: Session, event: Event) -> None:
    at = Place("ask", session.place.job, event.body.get("string"), gate=event.body["gate"])
    session.go(at)


def put_right(session: Session, command: commands.CorrectTo) -> None:
    """Record what an entry should have been, in its place."""
    event = _held(session, command.event)
    if event is not None:
        record_instead(session, event, right_reading(event, command.answer))


def record_typed_instead(session: Session, reading: Reading) -> bool:
    """Keep a number in place of the entry that is put right; whether there is one."""
    if not session.transient.correcting:
        return False
    event = _held(session, session.transient.correcting)
    session.transient.correcting = ""
    if event is not None:
        record_instead(session, event, reading)
    return True


def record_instead(session: Session, wrong: Event, right: Recorded) -> None:
    """Strike an entry out and record another in its place, as one action."""
    kind, what = _kept_as(right)
    own = {"event": wrong.id, "device": wrong.device, "time": wrong.time}
    own |= {COUNTS_AS: wrong.counts_as} if wrong.counts_as else {}
    instead = wrong.body.get("instead") or own
    body: dict[str, Any] = {"job": session.place.job, what: right, "instead": instead}
    before = step_in_words((wrong,), session.work)
    said = _reopened_in_words(session)
    session.take_back(wrong.id, and_then=((kind, body), *_reopening(session)))
    written = session.history.event(session.work.steps[-1])
    after = step_in_words((written,), session.work, names_string=False) if written else ""
    put = say("Put right: {before} is now {after}.", before=before, after=after)
    session.transient.announced = " ".join((put, *said))


def _kept_as(right: Recorded) -> tuple[Kind, str]:
    """The kind of entry that keeps it, and under which name."""
    if isinstance(right, Measurement):
        return Kind.SETUP_READ, "measurement"
    if isinstance(right, Pass):
        return Kind.PASS_FILED, "pass"
    if isinstance(right, Proof):
        return Kind.PROOF_TAKEN, "proof"
    return Kind.READING_TAKEN, "reading"


def _tell_older_apps(session: Session) -> None:
    """Apps that do not know of work hear it where all that it touched is read, or no more."""
    work = session.work
    before = work.document.said_to_older_apps
    unread = unread_after_work(work.job) or is_misread_by_older_apps(work.job.instrument)
    now = STALE if unread else READ_AGAIN
    if before in (STALE, READ_AGAIN) and before != now:
        session.keep(for_older_apps(work.id, now))


def _held(session: Session, name: str) -> Event | None:
    """The entry of this name while it stands on the card; else it is said why nothing is done."""
    event = session.history.event(name)
    string = string_of(event, session.here) if event is not None else 0
    on_it = event is not None and any(
        (is_of(event, string), is_of_instrument(event), is_of_neck(event))
    )
    if event is None or not on_it or event.body["job"] != session.place.job:
        session.transient.announced = say("This is no longer here; nothing was changed.")
        return None
    if event.id in session.work.document.undone:
        session.transient.announced = say("This is struck out already; nothing was changed.")
        return None
    return event


def _with_it(session: Session, event: Event) -> tuple[str, ...]:
    return tuple(each.id for each in _whole(session, event))


def _whole(session: Session, event: Event) -> tuple[Event, ...]:
    """The entry alone; of work with what older apps were told of it, of a single answer with what
    it changed of the visit."""
    together = recorded_with(event, session.history)
    if event.kind == Kind.WORK_DONE:
        return (event, *(each for each in together if speaks_to_older_apps(each.body)))
    if event.kind == Kind.CHECK_ANSWERED and _answers_alone(together):
        return (event, *(each for each in together if each.kind == Kind.JOB_CHANGED))
    return (event,)


def _answers_alone(together: tuple[Event, ...]) -> bool:
    """Whether what was recorded as one holds one answer."""
    answers = [each for each in together if each.kind == Kind.CHECK_ANSWERED]
    return sum(not speaks_to_older_apps(each.body) for each in answers) == 1


def undos_of(session: Session, name: str) -> list[str]:
    """Every undo of an entry that stands, whichever device made it."""
    around = session.history.projection.events_of(("job", session.work.id))
    undos = [each for each in around if each.kind == Kind.UNDONE]
    undone = {each.body["event"] for each in undos}
    return [each.id for each in undos if each.body["event"] == name and each.id not in undone]


def _reopening(session: Session) -> tuple[Entry, ...]:
    """What opens a closed job again."""
    return () if session.work.document.open else ((Kind.JOB_REOPENED, {"job": session.work.id}),)


def _reopened_in_words(session: Session) -> list[str]:
    return [] if session.work.document.open else [say("The job is open again.")]


HANDLERS: dict[type, Handler] = {
    commands.SeeString: see_string,
    commands.StrikeOut: strike_out,
    commands.Reinstate: bring_back,
    commands.Correct: correct,
    commands.CorrectTo: put_right,
}
