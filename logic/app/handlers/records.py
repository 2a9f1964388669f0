"""Looking after the record: the hub's pages, the storage, erasing, and two values of one field."""

from __future__ import annotations

from logic.app.commands import record_commands as commands
from logic.app.presenters.erasure import erase as promise
from logic.app.presenters.two_values import other_chosen
from logic.app.session.places import Place, Room
from logic.app.session.session import Handler, Session

BACK_TO: dict[str, Room] = {
    "hub": "records",
    "health": "records",
    "install": "records",
    "code": "hub",
    "join": "hub",
    "sure": "hub",
}
"""From these rooms one goes back to that one; from those of an instrument to its page."""


def back_from_keeping(session: Session) -> bool:
    """One room back, if this is a room of the record; whether it was."""
    place = session.place
    if place.room == "sure" and place.instrument:
        session.go(Place("erasure", instrument=place.instrument))
    elif place.room in ("erasure", "changes"):
        session.go(Place("instrument", instrument=place.instrument))
    elif place.room in BACK_TO:
        session.go(Place(BACK_TO[place.room]))
    else:
        return False
    return True


def give_code(session: Session, command: commands.GiveCode) -> None:
    """Hold a code ready and ask whether to join with it."""
    session.code = command.code
    session.go(Place("join"))


def ask_leave(session: Session, _: commands.AskLeave) -> None:
    """Ask before leaving the hub."""
    session.go(Place("sure"))


def see_erasure(session: Session, _: commands.SeeErasure) -> None:
    """Show what can be erased about an instrument."""
    session.go(Place("erasure", instrument=session.place.instrument))


def ask_erase(session: Session, command: commands.AskErase) -> None:
    """Ask before erasing."""
    session.to_erase = (command.what, command.name)
    session.go(Place("sure", instrument=session.place.instrument))


def erase(session: Session, _: commands.Erase) -> None:
    """Promise to erase what was asked about, once."""
    if session.place.room == "sure" and all(session.to_erase):
        promise(session.to_erase, session.history, session.trade)
        session.to_erase = ("", "")
        session.look_again()
        session.go(Place("erasure", instrument=session.place.instrument))


def keep_after_all(session: Session, command: commands.KeepAfterAll) -> None:
    """Take a promise to erase back."""
    session.take_back(command.event)


def see_changes(session: Session, _: commands.SeeChanges) -> None:
    """Show what two devices wrote differently about an instrument."""
    session.go(Place("changes", instrument=session.place.instrument))


def choose_other(session: Session, command: commands.ChooseOther) -> None:
    """Let the replaced value of a field stand."""
    found = session.history.instrument(session.place.instrument)
    chosen = found and other_chosen(found, session.history, command.document, command.field)
    if chosen:
        session.keep(chosen)
        session.look_again()


def _stand(room: Room) -> Handler:
    return lambda session, _: session.go(Place(room))


MOVES: dict[type, Handler] = {
    commands.SeeHub: _stand("hub"),
    commands.SeeCode: _stand("code"),
    commands.GiveCode: give_code,
    commands.AskLeave: ask_leave,
    commands.SeeHealth: _stand("health"),
    commands.SeeInstall: _stand("install"),
    commands.SeeErasure: see_erasure,
    commands.AskErase: ask_erase,
    commands.Erase: erase,
    commands.KeepAfterAll: keep_after_all,
    commands.SeeChanges: see_changes,
    commands.ChooseOther: choose_other,
}
