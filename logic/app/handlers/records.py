"""Looking after the record: the hub's pages, the storage, erasing, and two values of one field."""

from __future__ import annotations

from logic.app.commands import record_commands as commands
from logic.app.presenters.erasure import erase as promise
from logic.app.presenters.two_values import other_chosen
from logic.app.session.places import Place, ScreenName
from logic.app.session.route import Task
from logic.app.session.session import Handler, Session
from logic.app.session.transient import ToErase


def give_code(session: Session, command: commands.GiveCode) -> None:
    """Hold a code ready and ask whether to join with it."""
    session.transient.joining_code = command.code
    session.go(Place("join"))


def ask_leave(session: Session, _: commands.AskLeave) -> None:
    """Ask before leaving the hub."""
    session.go(Place("leave hub"))


def ask_erase(session: Session, command: commands.AskErase) -> None:
    """Ask before erasing."""
    session.transient.to_erase = ToErase(command.what, command.name)
    session.go_to_instrument("erase")


def erase(session: Session, _: commands.Erase) -> None:
    """Promise to erase what was asked about, once."""
    if session.route.task is Task.ERASING and all(session.transient.to_erase):
        promise(session.transient.to_erase, session.history, session.trade)
        session.transient.to_erase = ToErase()
        session.history_changed()
        session.go_to_instrument("erasure")


def keep_after_all(session: Session, command: commands.KeepAfterAll) -> None:
    """Take a promise to erase back."""
    if any(promise.event.id == command.event for promise in session.history.promised()):
        session.take_back(command.event)


def let_go(session: Session, command: commands.LetGo) -> None:
    """Let a promise that came in a file count from now on."""
    session.history.agree_to_erase(command.event)


def choose_other(session: Session, command: commands.ChooseOther) -> None:
    """Let the replaced value of a field stand."""
    found = session.history.instrument(session.place.instrument)
    chosen = found and other_chosen(found, session.history, command.document, command.field)
    if chosen:
        session.keep(chosen)
        session.history_changed()


def _see(screen: ScreenName) -> Handler:
    """Stand at a screen under the records."""
    return lambda session, _: session.go(Place(screen))


def _see_page(screen: ScreenName) -> Handler:
    """Stand at another page of the same instrument."""
    return lambda session, _: session.go_to_instrument(screen)


HANDLERS: dict[type, Handler] = {
    commands.SeeHub: _see("hub"),
    commands.SeeCode: _see("code"),
    commands.GiveCode: give_code,
    commands.AskLeave: ask_leave,
    commands.SeeHealth: _see("health"),
    commands.SeeInstall: _see("install"),
    commands.SeeErasure: _see_page("erasure"),
    commands.AskErase: ask_erase,
    commands.Erase: erase,
    commands.KeepAfterAll: keep_after_all,
    commands.SeePromised: _see("promised"),
    commands.LetGo: let_go,
    commands.SeeChanges: _see_page("changes"),
    commands.ChooseOther: choose_other,
}
