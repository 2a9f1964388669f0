"""Handing the instrument over with its record."""

from __future__ import annotations

from logic.bench.proof import unproven
from logic.desk import commands
from logic.desk.floor import Floor, Move
from logic.desk.places import Place
from shared.events import Kind
from shared.job import Proof


def see_sheet(floor: Floor, command: commands.SeeSheet) -> None:
    """Show the owner's sheet, or the bench's."""
    floor.for_bench = command.for_bench
    floor.go_in_job("hand over")


def close_job(floor: Floor, command: commands.CloseJob) -> None:
    """The instrument leaves the bench; the job stays in the history.

    Without a reason it stays open while a slot that was cut is unproven.
    """
    waiting = unproven(floor.work.job)
    if waiting and not command.reason:
        floor.go_in_job("hand over")
        return
    job = floor.place.job
    excused = (
        (Kind.PROOF_TAKEN, {"job": job, "proof": Proof(string=s, unproven=command.reason)})
        for s in waiting
    )
    floor.keep(*excused, (Kind.JOB_CLOSED, {"job": job, "reason": command.reason or "done"}))
    floor.place = Place()


MOVES: dict[type, Move] = {commands.SeeSheet: see_sheet, commands.CloseJob: close_job}
