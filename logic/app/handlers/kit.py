"""The kit and the settings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from logic.app.commands import commands
from logic.app.presenters.kit import IN_HAND, buy_next, kit_in_hand, kit_of, toggled
from logic.app.session.actions import Entry
from logic.app.session.places import Place
from logic.app.session.session import Handler, Session
from logic.app.session.settings import KEY, kept_as
from logic.bench.kit import wear as kit_marks
from logic.bench.kit.advice import Tool
from shared.errors import InputError
from shared.events import Kind
from shared.kit import Kit
from shared.units import Length
from shared.words import say


def see_kit(session: Session, _: commands.SeeKit) -> None:
    """Show what is in the kit."""
    session.transient.tool_marking, session.transient.kit_advice = "in", ()
    session.go(Place("kit"))


def use_kit(session: Session, command: commands.UseKit) -> None:
    """Work with another kit; jobs that are open keep theirs."""
    session.transient.kit_advice = ()
    session.keep((Kind.SETTING_CHANGED, {"name": IN_HAND, "value": command.kit}))


def set_marking(session: Session, command: commands.SetMarking) -> None:
    """Let a touch do something else."""
    session.transient.tool_marking = command.marking


def advise_kit(session: Session, _: commands.AdviseKit) -> None:
    """Work out what to buy next."""
    kit = kit_of(session.history, session.trade)
    session.transient.kit_advice = buy_next(session.history, kit, session.trade)


def toggle_leaf(session: Session, command: commands.ToggleLeaf) -> None:
    """Put a leaf in the kit or take it out."""
    kit = kit_of(session.history, session.trade)
    _save(session, _tidy(kit.model_copy(update={"leaves": toggled(kit.leaves, command.leaf)})))


def toggle_file(session: Session, command: commands.ToggleFile) -> None:
    """Put a file in the kit or take it out."""
    kit = kit_of(session.history, session.trade)
    _save(session, _tidy(kit.model_copy(update={"files": toggled(kit.files, command.file)})))


def toggle_stock(session: Session, command: commands.ToggleStock) -> None:
    """Put a shim, a fill or a blank in the kit or take it out."""
    kit = kit_of(session.history, session.trade)
    if command.sort == "shims":
        _save(session, _tidy(kit.model_copy(update={"shims": toggled(kit.shims, command.what)})))
    elif command.sort in ("fills", "blanks"):
        held: tuple[str, ...] = getattr(kit, command.sort)
        without = tuple(each for each in held if each != command.what)
        now = (*held, command.what) if without == held else without
        _save(session, kit.model_copy(update={command.sort: now}))


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


def mark_tool(session: Session, command: commands.MarkTool) -> None:
    """Mark a tool, or take its mark away; what cannot be marked is said so."""
    kit = kit_of(session.history, session.trade)
    tool, size = Tool(command.tool), Length.parse(command.size)
    try:
        _save(session, _marked(kit, tool, size, command.marking))
    except InputError as error:
        session.transient.refused = str(error)


def _marked(kit: Kit, tool: Tool, size: Length, marking: str) -> Kit:
    if marking == "lost":
        gone: tuple[Length, ...] = getattr(kit, kit_marks.LOST[tool])
        mark: Callable[[Kit, Tool, Length], Kit] = (
            kit_marks.found_again if size in gone else kit_marks.lose
        )
        return mark(kit, tool, size)
    if tool is not Tool.FILE:
        raise InputError("tool", tool.value, say("mark files as worn; a bent leaf is lost"))
    return (kit_marks.replaced if size in kit.worn_files else kit_marks.wear)(kit, size)


def leaf_not_here(session: Session, leaf: Length, *, for_good: bool) -> None:
    """The job at hand is worked without this leaf; where it is gone `for_good`, the kit in hand has
    lost it too, so that new jobs do without it and what to buy next names it. InputError, and
    nothing kept, where the job's kit has no such leaf."""
    job, without = session.place.job, kit_marks.lose(session.work.job.kit, Tool.LEAF, leaf)
    changed = (Kind.JOB_CHANGED, {"job": job, "field": "kit", "value": without})
    kit = kit_of(session.history, session.trade)
    if not for_good or leaf not in kit.leaves:
        session.keep(changed)
        return
    lost = kit_marks.lose(kit, Tool.LEAF, leaf)
    others = _followed(session, kit, lost, but=job)
    session.keep(_saved(session, lost), changed, *others)


def _save(session: Session, kit: Kit) -> None:
    """Keep what is in the kit, in the jobs on the bench that work with it too."""
    before = kit_of(session.history, session.trade)
    session.keep(_saved(session, kit), *_followed(session, before, kit))


def _saved(session: Session, kit: Kit) -> Entry:
    return Kind.KIT_SAVED, {"kit": kit_in_hand(session.history), "value": kit}


def _followed(session: Session, before: Kit, kit: Kit, but: str = "") -> Iterator[Entry]:
    """The open jobs that work out of this kit, `but` one of them, with the kit as it is now."""
    for line in session.history.open_jobs()[:FOLLOWING]:
        document = session.history.job(line.id)
        if document and document.kit == before and line.id != but:
            yield Kind.JOB_CHANGED, {"job": line.id, "field": "kit", "value": kit}


FOLLOWING = 12
"""As many of the latest open jobs follow a change of their kit."""


def see_settings(session: Session, _: commands.SeeSettings) -> None:
    """Show the settings."""
    session.go(Place("settings"))


def see_records(session: Session, _: commands.SeeRecords) -> None:
    """Show where the records are."""
    session.go(Place("records"))


def set_setting(session: Session, command: commands.SetSetting) -> None:
    """Choose a setting; a key that another action was given goes over to this one."""
    chosen = {command.name: command.value}
    if command.name.startswith(KEY) and command.value:
        other = (name for name, key in session.settings.items() if name.startswith(KEY) if key)
        taken = (name for name in other if session.settings[name] == command.value)
        chosen = dict.fromkeys(taken, "") | chosen
    session.keep(*(_setting(session, n, v) for n, v in chosen.items()))


def _setting(session: Session, name: str, value: str) -> tuple[Kind, dict[str, Any]]:
    return Kind.SETTING_CHANGED, {"name": kept_as(name, session.history), "value": value}


def ask_key(session: Session, command: commands.AskKey) -> None:
    """Wait for the key of an action, or for none."""
    session.transient.awaited_key = command.action


HANDLERS: dict[type, Handler] = {
    commands.SeeKit: see_kit,
    commands.ToggleLeaf: toggle_leaf,
    commands.ToggleFile: toggle_file,
    commands.ToggleStock: toggle_stock,
    commands.MarkTool: mark_tool,
    commands.UseKit: use_kit,
    commands.SetMarking: set_marking,
    commands.AdviseKit: advise_kit,
    commands.SeeSettings: see_settings,
    commands.SeeRecords: see_records,
    commands.SetSetting: set_setting,
    commands.AskKey: ask_key,
}
