"""The kit and the settings."""

from __future__ import annotations

from logic.desk import commands
from logic.desk.bag import BENCH_KIT, kit_of, toggled
from logic.desk.floor import Floor, Move
from logic.desk.places import Place
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


def set_setting(floor: Floor, command: commands.SetSetting) -> None:
    """Choose a setting."""
    floor.keep((Kind.SETTING_CHANGED, {"name": command.name, "value": command.value}))


MOVES: dict[type, Move] = {
    commands.SeeKit: see_kit,
    commands.ToggleLeaf: toggle_leaf,
    commands.ToggleFile: toggle_file,
    commands.SeeSettings: see_settings,
    commands.SetSetting: set_setting,
}
