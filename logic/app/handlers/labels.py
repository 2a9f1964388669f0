"""Labels: the way to print them, and the instrument that one leads to."""

from __future__ import annotations

from logic.app.commands import label_commands as commands
from logic.app.commands.instrument_commands import QuickCheck
from logic.app.commands.start_commands import OpenJob
from logic.app.handlers.intake import open_job
from logic.app.handlers.quick_check import quick_check
from logic.app.session.places import Place
from logic.app.session.session import Handler, Session
from logic.bench.visits.quick_check import QUICK_CHECK


def see_labels(session: Session, _: commands.SeeLabels) -> None:
    """Go to the labels of the chosen instruments, or of all."""
    listed = session.transient.instrument_list
    session.transient.labels_of = listed.chosen if listed.choosing else ()
    session.go(Place("labels"))


def see_find_label(session: Session, _: commands.SeeFindLabel) -> None:
    """Go to where an instrument is found by its label."""
    session.go(Place("find label"))


def open_label(session: Session, command: commands.OpenLabel) -> None:
    """Begin the quick check of the instrument with that label, or say that none here has it."""
    name = session.history.labelled(command.code)
    if not name:
        session.transient.label_code = command.code
        session.go(Place("unknown label"))
    elif begun := _begun_check(session, name):
        open_job(session, OpenJob(begun))
    else:
        quick_check(session, QuickCheck(name))


def _begun_check(session: Session, name: str) -> str:
    """The instrument's last job, where that is a check with no answer yet: a label that is scanned
    twice leaves no second one behind."""
    found = session.history.instrument(name)
    job = session.history.job(found.jobs[-1]) if found and found.jobs else None
    begun = job and job.open and job.complaint == QUICK_CHECK and not job.readings
    return job.id if job and begun else ""


HANDLERS: dict[type, Handler] = {
    commands.SeeLabels: see_labels,
    commands.SeeFindLabel: see_find_label,
    commands.OpenLabel: open_label,
}
