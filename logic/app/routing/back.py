"""Where Back leads from a screen: one function for each rule, named by the rows of the table."""

from __future__ import annotations

from logic.app.handlers.leaving import leave_job
from logic.app.presenters.visit_parts import is_whole_visit
from logic.app.session.places import Place
from logic.app.session.route import Subject
from logic.app.session.session import Session


def to_parent(session: Session) -> None:
    """To the screen above: of the same job, of the same instrument, or of the bench."""
    place, route = session.place, session.route
    about = session.route_of(route.parent).about
    if about is Subject.JOB:
        session.go_in_job(route.parent, place.string if route.keeps_string else None)
    elif about is Subject.INSTRUMENT:
        session.go_to_instrument(route.parent)
    else:
        session.go(Place(route.parent))


def to_stages_or_parent(session: Session) -> None:
    """In a visit of the whole instrument to its stages, else to the screen above."""
    if is_whole_visit(session.work.job):
        session.go_in_job("stages")
    else:
        to_parent(session)


def home_from_intake(session: Session) -> None:
    """Home; a visit that was opened and left as it was is none."""
    leave_job(session)
    session.go(Place())


def to_what_asked(session: Session) -> None:
    """From a question by its name to where it came up; else to the screen above."""
    if session.place.gate:
        session.go_in_job(session.place.back_to, session.place.asked_at)
    else:
        to_parent(session)


def to_where_opened(session: Session) -> None:
    """From the card of a string to the walk or the plan, at that string; what was to be put right
    on it stays as it was."""
    if session.transient.correcting:
        session.transient.correcting = ""
    else:
        session.go_in_job(session.place.back_to, session.place.string)


def to_work(session: Session) -> None:
    """To what was under way when a screen beside the work was opened."""
    session.back_to_work()


def to_instrument_of_job(session: Session) -> None:
    """To the page of the instrument that the job at hand is on."""
    session.go(Place("instrument", instrument=session.work.document.instrument_id or ""))


def to_plan_or_intake(session: Session) -> None:
    """To the plan where there is something to plan, else to where the player was named."""
    if session.work.job.readings:
        session.go_in_job("plan", session.place.string)
    else:
        session.go_in_job("intake")
