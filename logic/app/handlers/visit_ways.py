"""Where a visit goes on: to the part that comes next, or to one that was asked for."""

from __future__ import annotations

from logic.app.presenters.gaps import action_value, relief_value
from logic.app.presenters.questions import skipped_preconditions
from logic.app.presenters.retunings import asks_in_tune_again, is_in_tune
from logic.app.presenters.visit_parts import (
    VisitPart,
    left_as_it_came,
    next_part,
    outer_strings,
    strings_decided,
)
from logic.app.session.places import Place
from logic.app.session.route import Task
from logic.app.session.session import Session
from logic.app.views.visit_views import PartStanding

_MEASURED = (VisitPart.AS_IT_CAME, VisitPart.RELIEF, VisitPart.ACTION, VisitPart.NUT)
_SET_BY = {VisitPart.RELIEF: "turn", VisitPart.ACTION: "saddle"}
"""The work that brings it into its window."""


def go_on_visit(session: Session) -> None:
    """To what comes next in this visit; to its stages where nothing is left."""
    work = session.work
    following = next_part(work)
    if asks_in_tune_again(work.document):
        session.go_in_job("in tune")
    elif following is None:
        session.go_in_job("stages")
    elif following.standing is PartStanding.OUT and following.part in _SET_BY:
        go_to_step(session, _SET_BY[following.part])
    else:
        open_part(session, following.part)


def open_part(session: Session, part: VisitPart) -> None:
    """To one part of this visit; what must be true before a leaf is picked up is asked first."""
    if part in _MEASURED and skipped_preconditions(session.work):
        session.go_in_job("before")
        return
    match part:
        case VisitPart.AS_IT_CAME:
            _as_it_came(session)
        case VisitPart.STRINGS:
            _strings(session)
        case VisitPart.SADDLE:
            go_to_step(session, "saddle")
        case VisitPart.NUT:
            session.go_in_job("ask")  # and on to the strings where nothing is asked
        case VisitPart.PROOF:
            session.go_in_job("hand over")
        case VisitPart.FRETS:
            session.go(Place("ask", session.place.job, gate="frets", back_to="stages"))
        case VisitPart.RELIEF:
            relief = relief_value(session.work, None)
            session.go_in_job("relief", relief.string if relief else None)
        case VisitPart.ACTION:
            action = action_value(session.work, None, None)
            session.go_in_job("action", action.string if action else None)
        case VisitPart.INTONATION:
            session.go_in_job("stages")
        case VisitPart.PLAYER:
            session.go_in_job("player")
        case VisitPart.LOOK:
            session.go_in_job("look")


def go_to_step(session: Session, what: str, string: int | None = None) -> None:
    """To what was done; `what` names one kind of it."""
    session.transient.eighths, session.transient.saddle_steps = None, 0
    session.go(Place("step done", session.place.job, string, step=what))


def _as_it_came(session: Session) -> None:
    """To what of it is left to read, in the order in which it is read."""
    left = left_as_it_came(session.work)
    if not left:
        session.go_in_job("stages")
    elif left[0] is VisitPart.NUT:
        session.go_in_job("walk", _outer_unread(session))
    else:
        open_part(session, left[0])


def _outer_unread(session: Session) -> int:
    read = {reading.string for reading in session.work.job.readings}
    outer = outer_strings(session.work)
    return next((string for string in outer if string not in read), outer[0])


def _strings(session: Session) -> None:
    decided = strings_decided(session.work.job) is not None
    if decided and not is_in_tune(session.work.document):
        session.go_in_job("in tune")
    else:
        go_to_step(session, "strings")


def leave_tuning_once_done(session: Session) -> None:
    """To the stages from the question whether it is in tune, where that is not asked any more: its
    step was taken back, or it was answered on another device."""
    if session.route.task is not Task.TUNING or session.gone:
        return
    work = session.work
    asked = moved = asks_in_tune_again(work.document)
    if not moved:
        asked = strings_decided(work.job) is not None and not is_in_tune(work.document)
    if not asked:
        session.go_in_job("stages")
