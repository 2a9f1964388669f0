"""Turning dials to see what would follow. Nothing here is recorded but the place."""

from __future__ import annotations

from logic.bench.changes import Changes
from logic.bench.dials import turned
from logic.bench.walk import walk_order
from logic.desk import commands
from logic.desk.floor import Floor, Move


def what_if(floor: Floor, command: commands.WhatIf) -> None:
    """Stand before the dials, speaking of one string or of all."""
    if floor.place.room != "what if":
        floor.changes = Changes()
    floor.go_in_job("what if", command.string)


def turn(floor: Floor, command: commands.Turn) -> None:
    """Turn one dial by so many steps."""
    job, string = floor.work.job, floor.place.string
    strings = walk_order(job.instrument) if string is None else (string,)
    floor.changes = turned(job, floor.changes, command.dial, command.steps, strings, floor.trade)


def forget(floor: Floor, _: commands.ForgetWhatIf) -> None:
    """Everything as recorded again."""
    floor.changes = Changes()


MOVES: dict[type, Move] = {
    commands.WhatIf: what_if,
    commands.Turn: turn,
    commands.ForgetWhatIf: forget,
}
