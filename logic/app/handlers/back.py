"""One screen back."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.session.session import Handler, Session


def back(session: Session, _: commands.Back) -> None:
    """From the number pad to what it was asked for; from a screen to where its route leads."""
    if session.transient.number_kind:
        session.transient.number_kind = session.transient.correcting = ""
    else:
        session.route.back(session)


HANDLERS: dict[type, Handler] = {commands.Back: back}
