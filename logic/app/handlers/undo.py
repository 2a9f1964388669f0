"""Taking back what the last command recorded about the job, or about the instrument, at hand."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.session.actions import ACTION, Entry, recorded_with
from logic.app.session.session import Handler, Session
from logic.history.history import History
from shared.events import Event, Kind

WRITTEN_AS_ONE_MS = 500
"""Versions before action ids wrote a correction and the answer to its rule as two entries without
an id; as far apart as this they still came from one touch (common practice, no source)."""
STAYS = (Kind.PLACE_MOVED, Kind.JOB_REOPENED, Kind.UNDONE)
"""What is recorded along with an answer and stays when the answer is taken back."""


def undo(session: Session, _: commands.Undo) -> None:
    """Take back what was answered last, if anything was, and stand where it was given."""
    if session.place.instrument:
        undo_instrument_change(session)
    elif session.route.in_job and session.work.steps:
        undo_job_step(session)


def undo_job_step(session: Session) -> None:
    """Take back the latest step of the job; a quick check that it had ended goes on."""
    work = session.work
    given_at = work.given_at(work.steps[-1])
    gone = recorded_with_step(session.history, work.steps)
    ended_later = not work.document.open and all(each.kind != Kind.JOB_CLOSED for each in gone)
    reopened: Entry = (Kind.JOB_REOPENED, {"job": work.id})
    goes_on = ended_later and given_at is not None and work.is_quick_check
    session.take_back(*(each.id for each in gone), and_then=(reopened,) if goes_on else ())
    if given_at:
        session.go_in_job(*given_at)


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
    if event is None:
        return
    was = any(each.field == "value" for each in found.timeline)  # else nothing would be left
    if event.kind == Kind.PLAYER_SAVED or (event.kind == Kind.INSTRUMENT_SAVED and was):
        session.take_back(event.id)


HANDLERS: dict[type, Handler] = {commands.Undo: undo}
