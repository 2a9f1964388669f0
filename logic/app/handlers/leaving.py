"""Leaving a visit that nobody began, and putting one away: nothing is left lying about."""

from __future__ import annotations

from logic.app.commands import start_commands as commands
from logic.app.session.actions import Entry, recorded_with
from logic.app.session.places import Place
from logic.app.session.route import Task
from logic.app.session.session import Handler, Session
from logic.history.documents.models import JobDocument
from logic.history.history import History
from shared.events import Event, Kind

PUT_AWAY = "put away"
"""Why a visit was closed that was never begun, as its entry keeps it."""


def leave_job(session: Session) -> None:
    """Leave the visit at hand: it remembers where, or is gone where nothing was entered."""
    if session.route.in_job and not drop_untouched(session):
        moved = {"job": session.place.job, "place": _opens_again(session).left}
        session.history.record(Kind.PLACE_MOVED, moved)


def _opens_again(session: Session) -> Place:
    """Where a visit that is left is opened again: where it was left; where that is its intake and
    strings were read, where the readings go on."""
    if session.route.task is not Task.INTAKE or session.gone:
        return session.place
    job = session.work.job
    return session.measuring_place() if job.readings or job.rounds else session.place


def drop_untouched(session: Session) -> bool:
    """Take the visit at hand back where nothing was entered at its intake; whether it was."""
    if session.route.task is not Task.INTAKE or session.gone:
        return False
    opening = opening_alone(session.work.document, session.history)
    if opening:
        session.take_back(*(each.id for each in opening))
        session.stand(Place())
    return bool(opening)


def opening_alone(document: JobDocument, history: History) -> tuple[Event, ...]:
    """What opened a visit, where that is all that was ever entered; else nothing."""
    if document.begun:
        return ()
    first = history.event(document.marks["open"].event) if "open" in document.marks else None
    if first is None or first.kind != Kind.JOB_OPENED:
        return ()
    together = tuple(each for each in recorded_with(first, history) if _is_entered(each))
    return together if set(document.steps) <= {each.id for each in together} else ()


def _is_entered(event: Event) -> bool:
    return event.kind != Kind.PLACE_MOVED


def put_away(session: Session, command: commands.PutAway) -> None:
    """Close a visit that was never begun; where nothing was entered, its opening is taken back,
    and the instrument that came with it goes too."""
    document = session.history.job(command.job)
    if document is None or not document.open or document.begun:
        return
    opening = opening_alone(document, session.history)
    if opening:
        session.take_back(*(each.id for each in opening))
    else:
        session.keep((Kind.JOB_CLOSED, {"job": command.job, "reason": PUT_AWAY}))
    session.transient.put_away = command.job


def bring_back(session: Session, command: commands.BringBack) -> None:
    """A visit that was put away is on the bench again."""
    document = session.history.job(command.job)
    if document is None:
        gone = _opening_taken_back(command.job, session.history)
        session.bring_back(*(event.id for event in gone))
    elif not document.open:
        reopened: Entry = (Kind.JOB_REOPENED, {"job": command.job})
        session.keep(reopened)


def _opening_taken_back(job: str, history: History) -> tuple[Event, ...]:
    events = history.projection.events_of(("job", job))
    first = next((each for each in events if each.kind == Kind.JOB_OPENED), None)
    together = recorded_with(first, history) if first else ()
    return tuple(each for each in together if _is_entered(each))


HANDLERS: dict[type, Handler] = {commands.PutAway: put_away, commands.BringBack: bring_back}
