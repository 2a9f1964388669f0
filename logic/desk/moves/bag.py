"""The kit and the settings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from logic.bench import kit_marks
from logic.bench.kit_advice import Tool
from logic.desk import commands
from logic.desk.bag import IN_HAND, bag_in_hand, buy_next, kit_of, toggled
from logic.desk.floor import Floor, Move
from logic.desk.places import Place
from logic.desk.settings import KEY, kept_as
from shared.errors import InputError
from shared.events import Kind
from shared.kit import Kit
from shared.units import Length
from shared.words import say


def see_kit(floor: Floor, _: commands.SeeKit) -> None:
    """Show what is in the bag."""
    floor.marking, floor.kit_advice = "in", ()
    floor.go(Place("kit"))


def take_bag(floor: Floor, command: commands.TakeBag) -> None:
    """Work out of another bag; jobs that are open keep theirs."""
    floor.kit_advice = ()
    floor.keep((Kind.SETTING_CHANGED, {"name": IN_HAND, "value": command.bag}))


def set_marking(floor: Floor, command: commands.SetMarking) -> None:
    """Let a touch do something else."""
    floor.marking = command.marking


def advise_kit(floor: Floor, _: commands.AdviseKit) -> None:
    """Work out what to buy next."""
    kit = kit_of(floor.history, floor.trade)
    floor.kit_advice = buy_next(floor.history, kit, floor.trade, floor.wording)


def toggle_leaf(floor: Floor, command: commands.ToggleLeaf) -> None:
    """Put a leaf in the bag or take it out."""
    kit = kit_of(floor.history, floor.trade)
    _save(floor, _tidy(kit.model_copy(update={"leaves": toggled(kit.leaves, command.leaf)})))


def toggle_file(floor: Floor, command: commands.ToggleFile) -> None:
    """Put a file in the bag or take it out."""
    kit = kit_of(floor.history, floor.trade)
    _save(floor, _tidy(kit.model_copy(update={"files": toggled(kit.files, command.file)})))


def toggle_stock(floor: Floor, command: commands.ToggleStock) -> None:
    """Put a shim, a fill or a blank in the bag or take it out."""
    kit = kit_of(floor.history, floor.trade)
    if command.sort == "shims":
        _save(floor, _tidy(kit.model_copy(update={"shims": toggled(kit.shims, command.what)})))
    elif command.sort in ("fills", "blanks"):
        held: tuple[str, ...] = getattr(kit, command.sort)
        without = tuple(each for each in held if each != command.what)
        now = (*held, command.what) if without == held else without
        _save(floor, kit.model_copy(update={command.sort: now}))


def _tidy(kit: Kit) -> Kit:
    """What was put in is lost no more, and what was taken out has no wear."""
    return kit.model_copy(
        update={
            "lost_leaves": tuple(size for size in kit.lost_leaves if size not in kit.leaves),
            "lost_files": tuple(size for size in kit.lost_files if size not in kit.files),
            "lost_shims": tuple(size for size in kit.lost_shims if size not in kit.shims),
            "worn_files": tuple(size for size in kit.worn_files if size in kit.files),
        }
    )


def mark_tool(floor: Floor, command: commands.MarkTool) -> None:
    """Mark a tool, or take its mark away; what cannot be marked is said so."""
    kit = kit_of(floor.history, floor.trade)
    tool, size = Tool(command.tool), Length.parse(command.size)
    try:
        _save(floor, _marked(kit, tool, size, command.marking))
    except InputError as error:
        floor.trouble = str(error)


def _marked(kit: Kit, tool: Tool, size: Length, marking: str) -> Kit:
    if marking == "lost":
        gone: tuple[Length, ...] = getattr(kit, _LOST[tool])
        mark: Callable[[Kit, Tool, Length], Kit] = (
            kit_marks.found_again if size in gone else kit_marks.lose
        )
        return mark(kit, tool, size)
    if tool is not Tool.FILE:
        raise InputError("tool", tool.value, say("mark files as worn; a bent leaf is lost"))
    return (kit_marks.replaced if size in kit.worn_files else kit_marks.wear)(kit, size)


_LOST = {Tool.LEAF: "lost_leaves", Tool.FILE: "lost_files", Tool.SHIM: "lost_shims"}


def _save(floor: Floor, kit: Kit) -> None:
    """Keep what is in the bag, in the jobs on the bench that work out of it too."""
    before = kit_of(floor.history, floor.trade)
    saved = (Kind.KIT_SAVED, {"kit": bag_in_hand(floor.history), "value": kit})
    floor.keep(saved, *_followed(floor, before, kit))


def _followed(floor: Floor, before: Kit, kit: Kit) -> Iterator[tuple[Kind, dict[str, Any]]]:
    for line in floor.history.open_jobs()[:FOLLOWING]:
        document = floor.history.job(line.id)
        if document and document.kit == before:
            yield Kind.JOB_CHANGED, {"job": line.id, "field": "kit", "value": kit}


FOLLOWING = 12
"""As many of the latest open jobs follow a change of their bag."""


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
    floor.keep(*(_setting(floor, n, v) for n, v in chosen.items()))


def _setting(floor: Floor, name: str, value: str) -> tuple[Kind, dict[str, Any]]:
    return Kind.SETTING_CHANGED, {"name": kept_as(name, floor.history), "value": value}


def ask_key(floor: Floor, command: commands.AskKey) -> None:
    """Wait for the key of a deed, or for none."""
    floor.waiting = command.deed


MOVES: dict[type, Move] = {
    commands.SeeKit: see_kit,
    commands.ToggleLeaf: toggle_leaf,
    commands.ToggleFile: toggle_file,
    commands.ToggleStock: toggle_stock,
    commands.MarkTool: mark_tool,
    commands.TakeBag: take_bag,
    commands.SetMarking: set_marking,
    commands.AdviseKit: advise_kit,
    commands.SeeSettings: see_settings,
    commands.SeeRecords: see_records,
    commands.SetSetting: set_setting,
    commands.AskKey: ask_key,
}
