"""Turning dials to see what would follow. Nothing here is recorded but the place."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.session.session import Handler, Session
from logic.bench.instrument.changes import Changes
from logic.bench.plan.walk import walk_order
from logic.bench.what_if.dials import turned


def what_if(session: Session, command: commands.WhatIf) -> None:
    """Go to the dials, speaking of one string or of all; a new visit turns none yet."""
    session.go_in_job("what if", command.string)


def turn(session: Session, command: commands.Turn) -> None:
    """Turn one dial by so many steps."""
    job, string = session.work.job, session.place.string
    strings = walk_order(job.instrument) if string is None else (string,)
    session.transient.what_if = turned(
        job, session.transient.what_if, command.dial, command.steps, strings, session.trade
    )


def forget(session: Session, _: commands.ForgetWhatIf) -> None:
    """Everything as recorded again."""
    session.transient.what_if = Changes()


HANDLERS: dict[type, Handler] = {
    commands.WhatIf: what_if,
    commands.Turn: turn,
    commands.ForgetWhatIf: forget,
}
