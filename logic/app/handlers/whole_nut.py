"""The nut as a whole: its options of being raised, and a new one laid out. Of all that only the
place and what an option took are recorded.
"""

from __future__ import annotations

from dataclasses import replace

from logic.app.commands import commands
from logic.app.presenters.new_nut import turned_margin
from logic.app.session.pace import MOST_MINUTES, took_kept, took_name
from logic.app.session.session import Handler, Session
from logic.bench.raising.nut_layout import Spacing
from shared.events import Kind
from shared.words import say


def see_raising(session: Session, command: commands.SeeRaising) -> None:
    """See the options of raising side by side."""
    session.transient.raising_method = command.method
    session.go_in_job("raise")


def note_minutes(session: Session, command: commands.NoteMinutes) -> None:
    """Keep what an option took in this job: the bench learns its own pace from it."""
    options = session.work.plan.nut.options
    option = next((one for one in options if one.method == command.method), None)
    if option is None or not 0 <= command.minutes <= MOST_MINUTES:
        session.transient.refused = say(
            "Between 1 and {most} minutes can be noted.", most=MOST_MINUTES
        )
        return
    name = took_name(session.work.id, option.method)
    value = took_kept(command.minutes, option)
    session.keep((Kind.SETTING_CHANGED, {"name": name, "value": value}))


def see_new_nut(session: Session, _: commands.SeeNewNut) -> None:
    """Go to a new nut; a new visit finds it laid out as common practice has it."""
    session.go_in_job("new nut")


def set_spacing(session: Session, command: commands.SetSpacing) -> None:
    """Keep something else equal."""
    session.transient.nut_wishes = replace(
        session.transient.nut_wishes, spacing=Spacing(command.spacing)
    )


def turn_margin(session: Session, command: commands.TurnMargin) -> None:
    """Step one distance."""
    kind = session.work.job.instrument.kind
    session.transient.nut_wishes = turned_margin(
        session.transient.nut_wishes, command.edge, command.steps, kind, session.trade
    )


HANDLERS: dict[type, Handler] = {
    commands.SeeRaising: see_raising,
    commands.NoteMinutes: note_minutes,
    commands.SeeNewNut: see_new_nut,
    commands.SetSpacing: set_spacing,
    commands.TurnMargin: turn_margin,
}
