"""Handing the instrument over with its record."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.session.places import Place
from logic.app.session.session import Handler, Session
from logic.bench.visits.proof import unproven
from shared.events import Kind
from shared.job import LONGEST_NOTE, Proof


def see_sheet(session: Session, command: commands.SeeSheet) -> None:
    """Show the owner's sheet, or the bench's."""
    session.transient.sheet_for_bench = command.for_bench
    session.go_in_job("hand over")


def close_job(session: Session, command: commands.CloseJob) -> None:
    """The instrument leaves the bench; the job stays in the history.

    Without a reason it stays open while a slot that was cut is unproven.
    """
    waiting = unproven(session.work.job)
    if waiting and not command.reason:
        session.go_in_job("hand over")
        return
    job = session.place.job
    excused = (
        (Kind.PROOF_TAKEN, {"job": job, "proof": Proof(string=s, unproven=command.reason)})
        for s in waiting
    )
    session.keep(*excused, (Kind.JOB_CLOSED, {"job": job, "reason": command.reason or "done"}))
    session.stand(Place())


def write_note(session: Session, command: commands.WriteNote) -> None:
    """Keep the note of this job; what is no other note than before is not recorded again."""
    text = command.text.strip()[:LONGEST_NOTE]
    if text != session.work.job.note:
        session.record(Kind.JOB_CHANGED, field="note", value=text)


HANDLERS: dict[type, Handler] = {
    commands.SeeSheet: see_sheet,
    commands.CloseJob: close_job,
    commands.WriteNote: write_note,
}
