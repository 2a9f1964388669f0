"""The kit and the settings."""

from __future__ import annotations

from logic.desk import commands
from logic.desk.bag import BENCH_KIT, kit_of, toggled
from logic.desk.floor import Floor, Move
from logic.desk.places import Place
from logic.desk.settings import KEY
from shared.events import Kind
from shared.kit import Kit


def see_kit(floor: Floor, _: commands.SeeKit) -> None:
    """Show what is in the bag."""
    floor.go(Place("kit"))


def toggle_leaf(floor: Floor, command: commands.ToggleLeaf) -> None:
    """Put a leaf in the bag or take it out."""
    kit = kit_of(floor.history, floor.trade)
    _save(floor, kit.model_copy(update={"leaves": toggled(kit.leaves, command.leaf)}))


def toggle_file(floor: Floor, command: commands.ToggleFile) -> None:
    """Put a file in the bag or take it out."""
    kit = kit_of(floor.history, floor.trade)
    _save(floor, kit.model_copy(update={"files": toggled(kit.files, command.file)}))


def _save(floor: Floor, kit: Kit) -> None:
    floor.keep((Kind.KIT_SAVED, {"kit": BENCH_KIT, "value": kit}))


def see_settings(floor: Floor, _: commands.SeeSettings) -> None:
    """Show the settings."""
    floor.go(Place("settings"))


def see_records(floor: Floor, _: commands.SeeRecords) -> None:
    """Show where the records are."""
    floor.go(Place("records"))


def set_setting(floor: Floor, command: commands.SetSetting) -> None:
    """Choose a setting; a key that another deed was given goes over to this one."""
    chosen = {command.name: command.value}
    if command.name.startswith(KEY) and command.value:
        other = (name for name, key in floor.settings.items() if name.startswith(KEY) if key)
        taken = (name for name in other if floor.settings[name] == command.value)
        chosen = dict.fromkeys(taken, "") | chosen
    floor.keep(*((Kind.SETTING_CHANGED, {"name": n, "value": v}) for n, v in chosen.items()))


def ask_key(floor: Floor, command: commands.AskKey) -> None:
    """Wait for the key of a deed, or for none."""
    floor.waiting = command.deed


MOVES: dict[type, Move] = {
    commands.SeeKit: see_kit,
    commands.ToggleLeaf: toggle_leaf,
    commands.ToggleFile: toggle_file,
    commands.SeeSettings: see_settings,
    commands.SeeRecords: see_records,
    commands.SetSetting: set_setting,
    commands.AskKey: ask_key,
}
