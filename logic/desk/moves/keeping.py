"""Looking after the record: the hub's pages, the storage, erasing, and two values of one field."""

from __future__ import annotations

from logic.desk import keeping_commands as commands
from logic.desk.erasure import erase as promise
from logic.desk.floor import Floor, Move
from logic.desk.places import Place, Room
from logic.desk.two_values import other_chosen

BACK_TO: dict[str, Room] = {
    "hub": "records",
    "health": "records",
    "install": "records",
    "code": "hub",
    "join": "hub",
    "sure": "hub",
}
"""From these rooms one goes back to that one; from those of an instrument to its page."""


def back_from_keeping(floor: Floor) -> bool:
    """One room back, if this is a room of the record; whether it was."""
    place = floor.place
    if place.room == "sure" and place.instrument:
        floor.go(Place("erasure", instrument=place.instrument))
    elif place.room in ("erasure", "changes"):
        floor.go(Place("instrument", instrument=place.instrument))
    elif place.room in BACK_TO:
        floor.go(Place(BACK_TO[place.room]))
    else:
        return False
    return True


def give_code(floor: Floor, command: commands.GiveCode) -> None:
    """Hold a code ready and ask whether to join with it."""
    floor.code = command.code
    floor.go(Place("join"))


def ask_leave(floor: Floor, _: commands.AskLeave) -> None:
    """Ask before leaving the hub."""
    floor.go(Place("sure"))


def see_erasure(floor: Floor, _: commands.SeeErasure) -> None:
    """Show what can be erased about an instrument."""
    floor.go(Place("erasure", instrument=floor.place.instrument))


def ask_erase(floor: Floor, command: commands.AskErase) -> None:
    """Ask before erasing."""
    floor.to_erase = (command.what, command.name)
    floor.go(Place("sure", instrument=floor.place.instrument))


def erase(floor: Floor, _: commands.Erase) -> None:
    """Promise to erase what was asked about, once."""
    if floor.place.room == "sure" and all(floor.to_erase):
        promise(floor.to_erase, floor.history, floor.trade)
        floor.to_erase = ("", "")
        floor.look_again()
        floor.go(Place("erasure", instrument=floor.place.instrument))


def keep_after_all(floor: Floor, command: commands.KeepAfterAll) -> None:
    """Take a promise to erase back."""
    floor.take_back(command.event)


def see_changes(floor: Floor, _: commands.SeeChanges) -> None:
    """Show what two devices wrote differently about an instrument."""
    floor.go(Place("changes", instrument=floor.place.instrument))


def choose_other(floor: Floor, command: commands.ChooseOther) -> None:
    """Let the replaced value of a field stand."""
    found = floor.history.instrument(floor.place.instrument)
    chosen = found and other_chosen(found, floor.history, command.document, command.field)
    if chosen:
        floor.keep(chosen)
        floor.look_again()


def _stand(room: Room) -> Move:
    return lambda floor, _: floor.go(Place(room))


MOVES: dict[type, Move] = {
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
