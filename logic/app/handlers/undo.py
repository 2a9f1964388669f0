"""Taking back what the last command recorded about the job, or about the instrument, at hand."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.handlers.kit import undo_kit_change
from logic.app.handlers.string_card import undos_of
from logic.app.presenters.instruments import title_of
from logic.app.presenters.questions import first_card
from logic.app.presenters.taken_back import (
    brought_back_in_words,
    standing_again,
    taken_back_in_words,
)
from logic.app.session.actions import ACTION, Entry, recorded_with
from logic.app.session.places import Place
from logic.app.session.session import Handler, Session
from logic.history.history import History
from shared.events import Event, Kind
from shared.words import say

WRITTEN_AS_ONE_MS = 500
"""Versions before action ids wrote a correction and the answer to its rule as two entries without
an id; as far apart as this they still came from one touch (common practice, no source)."""
STAYS = (Kind.PLACE_MOVED, Kind.JOB_REOPENED)
"""What is recorded along with an answer and stays when the answer is taken back. What a correction
struck out stands again."""


def undo(session: Session, _: commands.Undo) -> None:
    """Take back what was done last, if anything was, say what that was, and stand where it was."""
    if session.place.instrument:
        undo_instrument_change(session)
    elif session.place.screen == "kit":
        undo_kit_change(session)
    elif session.route.in_job:
        undo_in_job(session)


def undo_in_job(session: Session) -> None:
    """Take back the latest step of the job; what was struck out after it stands again instead."""
    struck = struck_out_last(session)
    if struck:
        bring_back(session, struck)
    elif session.work.steps:
        undo_job_step(session)
    else:
        session.transient.announced = say("Nothing was answered here that could be taken back.")


def undo_job_step(session: Session) -> None:
    """Take back the latest step of the job; a quick check that it had ended goes on."""
    work = session.work
    gone = recorded_with_step(session.history, work.steps)
    asked_at = _where_asked(session, gone)
    ended_later = not work.document.open and all(each.kind != Kind.JOB_CLOSED for each in gone)
    reopened: Entry = (Kind.JOB_REOPENED, {"job": work.id})
    goes_on = ended_later and work.given_at(work.steps[-1]) is not None and work.is_quick_check
    session.transient.announced = _undo_in_words(session, gone)
    session.take_back(*(each.id for each in gone), and_then=(reopened,) if goes_on else ())
    if asked_at:
        session.go(_at_question(session, asked_at, gone))


def _undo_in_words(session: Session, gone: tuple[Event, ...]) -> str:
    """What an undo takes back, and what stands again with that."""
    work, targets = session.work, (each.body["event"] for each in gone if each.kind == Kind.UNDONE)
    back = [each for each in map(session.history.event, targets) if each is not None]
    again = [brought_back_in_words(back, work)] if back else []
    said = [taken_back_in_words(gone, work), *standing_again(gone, work), *again]
    return " ".join(filter(None, said))


def _where_asked(session: Session, gone: tuple[Event, ...]) -> Place | None:
    """Where the latest of these was answered: a reading where readings are taken, an answer on the
    screen that its device stood at; None where that is not known, or does not matter."""
    work, last = session.work, session.history.event(session.work.steps[-1])
    given_at = work.given_at(work.steps[-1])
    if given_at:
        return Place(given_at[0], work.id, given_at[1])
    if last is None or all(each.kind not in _ASKED for each in gone):
        return None
    stood = [
        each
        for each in session.history.projection.events_of(("job", work.id))
        if each.kind == Kind.PLACE_MOVED and each.device == last.device and each.seq < last.seq
    ]
    return session.place_in(work.id, stood[-1].body["place"]) if stood else None


_ASKED = (Kind.CHECK_ANSWERED, Kind.CHECK_LOOKED_AGAIN)
"""What is asked on a screen of its own."""


def _at_question(session: Session, place: Place, gone: tuple[Event, ...]) -> Place:
    """`place`, with the question that was answered where its turn would not come by itself."""
    answered = [each for each in gone if each.kind in _ASKED]
    if place.screen != "ask" or not answered:
        return place
    gate, again = answered[0].body["gate"], answered[0].kind == Kind.CHECK_LOOKED_AGAIN
    if not again and first_card(session.work) == gate:
        return place
    return Place("ask", place.job, place.string, gate=gate, again=again)


def struck_out_last(session: Session) -> tuple[str, ...]:
    """What was struck out since the latest step and is earlier than it, as no plain undo takes
    back; nothing where the latest step itself is what an undo takes."""
    history, steps = session.history, session.work.steps
    last = history.event(steps[-1]) if steps else None
    taken = _standing_undos(session)
    if not taken or last is None or taken[-1].order < last.order:
        return ()
    together = recorded_with(taken[-1], history)
    events = [history.event(each.body["event"]) for each in together if each.kind == Kind.UNDONE]
    struck = [each for each in events if each is not None]
    return tuple(each.id for each in struck) if all(e.order < last.order for e in struck) else ()


def _standing_undos(session: Session) -> list[Event]:
    """What was taken back in this job and not brought back, in the order of the undos."""
    undone = set(session.work.document.undone)
    around = session.history.projection.events_of(("job", session.work.id))
    return [e for e in around if e.kind == Kind.UNDONE and e.body["event"] in undone]


def bring_back(session: Session, events: tuple[str, ...]) -> None:
    """Let what was struck out stand again, on whichever device that was; say what it is."""
    held = [each for each in map(session.history.event, events) if each is not None]
    session.take_back(*(name for each in held for name in undos_of(session, each.id)))
    session.transient.announced = brought_back_in_words(held, session.work)


def recorded_with_step(history: History, steps: tuple[str, ...]) -> tuple[Event, ...]:
    """The latest of `steps` and what its command recorded besides.

    What came with the opening of a job is taken back by itself: with the whole the job would go.
    """
    last = history.event(steps[-1])
    if last is None:
        return ()
    if ACTION not in last.body:
        return _without_id(history, last, steps)
    together = recorded_with(last, history)
    if any(each.kind == Kind.JOB_OPENED for each in together):
        return (last,)
    return tuple(each for each in together if each.kind not in STAYS)


def _without_id(history: History, last: Event, steps: tuple[str, ...]) -> tuple[Event, ...]:
    """An entry of a version before action ids; with an answer the correction it was kept with."""
    change = history.event(steps[-2]) if len(steps) > 1 else None
    if change is None or last.kind != Kind.CHECK_ANSWERED or ACTION in change.body:
        return (last,)
    near = last.stamp.wall_ms - change.stamp.wall_ms <= WRITTEN_AS_ONE_MS
    consecutive = (change.device, change.seq + 1) == (last.device, last.seq)
    corrects = change.kind == Kind.JOB_CHANGED and change.body.get("field") == "instrument"
    return (change, last) if near and consecutive and corrects else (last,)


def undo_instrument_change(session: Session) -> None:
    """Take back the last change of the instrument at hand; what its jobs brought in stays. KeyError
    where the instrument is not known."""
    found = session.history.instrument(session.place.instrument)
    if found is None:
        raise KeyError(session.place.instrument)
    latest = max(found.marks.values(), key=lambda mark: mark.order, default=None)
    event = session.history.event(latest.event) if latest else None
    session.transient.announced = say("Nothing was changed here that could be taken back.")
    if event is None:
        return
    was = any(each.field == "value" for each in found.timeline)  # else nothing would be left
    if event.kind == Kind.PLAYER_SAVED or (event.kind == Kind.INSTRUMENT_SAVED and was):
        session.take_back(event.id)
        session.transient.announced = say(
            "Taken back: the last change of {title}.", title=title_of(session.instrument)
        )


HANDLERS: dict[type, Handler] = {commands.Undo: undo}
