"""The kit and the settings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from logic.app.commands import commands
from logic.app.commands.kit_commands import HaveRule, HaveStraightEdge
from logic.app.presenters.kit import (
    FOLLOWING,
    IN_HAND,
    buy_next,
    jobs_elsewhere,
    kit_in_hand,
    kit_of,
    last_saved,
)
from logic.app.presenters.kit_changes import changes_in_words
from logic.app.session.actions import Entry, recorded_with
from logic.app.session.places import Place
from logic.app.session.session import Handler, Session
from logic.app.session.settings import KEY, kept_as
from logic.app.wording.calls import begun
from logic.bench.kit import wear as kit_marks
from logic.bench.kit.advice import Tool
from logic.bench.kit.assumed import assumed_tools, emptied, said_to_be_here
from logic.bench.kit.contents import (
    held,
    read_size,
    toggled,
    with_set,
    with_shank_toggled,
    with_sizes,
)
from shared.errors import InputError
from shared.events import Kind
from shared.kit import Kit
from shared.marked import AsMarked
from shared.units import Length
from shared.words import say, say_many


def see_kit(session: Session, _: commands.SeeKit) -> None:
    """Show what is in the kit."""
    transient = session.transient
    transient.tool_marking, transient.kit_advice, transient.kit_unit = "in", (), ""
    session.go(Place("kit"))


def use_kit(session: Session, command: commands.UseKit) -> None:
    """Work with another kit; jobs that are open keep theirs."""
    session.transient.kit_advice, session.transient.kit_unit = (), ""
    session.keep((Kind.SETTING_CHANGED, {"name": IN_HAND, "value": command.kit}))


def set_marking(session: Session, command: commands.SetMarking) -> None:
    """Let a touch do something else."""
    session.transient.tool_marking = command.marking


def show_sizes(session: Session, command: commands.ShowSizes) -> None:
    """Show the sizes that are made in this unit."""
    session.transient.kit_unit = command.unit


def advise_kit(session: Session, _: commands.AdviseKit) -> None:
    """Work out what to buy next."""
    session.transient.kit_advice = buy_next(session.history, _kit(session), session.trade)


def _kit(session: Session) -> Kit:
    return kit_of(session.history, session.trade)


def toggle_leaf(session: Session, command: commands.ToggleLeaf) -> None:
    """Put a leaf in the kit or take it out."""
    _save(session, toggled(_kit(session), Tool.LEAF, Length.parse(command.leaf)))


def toggle_file(session: Session, command: commands.ToggleFile) -> None:
    """Put a file in the kit or take it out."""
    _save(session, toggled(_kit(session), Tool.FILE, Length.parse(command.file)))


def toggle_stock(session: Session, command: commands.ToggleStock) -> None:
    """Put a shim, a shank, a fill or a blank in the kit or take it out."""
    kit = _kit(session)
    if command.sort == "shanks":
        _save(session, with_shank_toggled(kit, Length.parse(command.what), session.trade))
    elif command.sort == "shims":
        _save(session, toggled(kit, Tool.SHIM, Length.parse(command.what)))
    elif command.sort in ("fills", "blanks"):
        held: tuple[str, ...] = getattr(kit, command.sort)
        without = tuple(each for each in held if each != command.what)
        now = (*held, command.what) if without == held else without
        _save(session, kit.model_copy(update={command.sort: now}))


def have_straight_edge(session: Session, command: HaveStraightEdge) -> None:
    """Say whether a straight edge is at hand."""
    _save(session, _kit(session).model_copy(update={"straightedge": command.on}))


def have_rule(session: Session, command: HaveRule) -> None:
    """Say which class stands on the rule."""
    _save(session, _kit(session).model_copy(update={"rule": command.rule}))


def take_set(session: Session, command: commands.TakeSet) -> None:
    """Put a set in the kit or take it out; one that nobody sells is passed over."""
    chosen = session.trade.kit_sizes.sets.get(command.name)
    if chosen is not None:
        _save(session, with_set(_kit(session), chosen, session.trade))


def take_typed_size(session: Session, tool: Tool, text: str) -> None:
    """Put a tool of a typed size in the kit. InputError, and nothing kept, where it can hardly be
    one."""
    kit, size = _kit(session), read_size(tool, text, session.trade)
    if size in held(kit, tool):
        session.transient.saved = say("{size} is here already.", size=AsMarked(size, listed=True))
    else:
        _save(session, with_sizes(kit, tool, (*held(kit, tool), size)))


def empty_kit(session: Session, _: commands.EmptyKit) -> None:
    """Start from a kit that holds nothing."""
    _save(session, emptied(_kit(session), session.trade))


def confirm_kit(session: Session, _: commands.ConfirmKit) -> None:
    """Say that what was assumed is there."""
    _save(session, said_to_be_here(_kit(session), session.trade))


def kit_into_jobs(session: Session, _: commands.KitIntoJobs) -> None:
    """Work out of the kit in hand at the open jobs that had another."""
    kit = _kit(session)
    jobs = jobs_elsewhere(session.history, kit)
    if jobs:
        session.keep(*(_into_job(name, kit) for name in jobs))
        session.transient.saved = say_many(
            "{count} open job works out of this kit now.",
            "{count} open jobs work out of this kit now.",
            len(jobs),
        )


def mark_tool(session: Session, command: commands.MarkTool) -> None:
    """Mark a tool, or take its mark away; what cannot be marked is said so."""
    tool, size = Tool(command.tool), Length.parse(command.size)
    try:
        _save(session, _marked(_kit(session), tool, size, command.marking))
    except InputError as error:
        session.transient.refused = error.in_sentences()


def _marked(kit: Kit, tool: Tool, size: Length, marking: str) -> Kit:
    if marking == "lost":
        gone: tuple[Length, ...] = getattr(kit, kit_marks.LOST[tool])
        mark: Callable[[Kit, Tool, Length], Kit] = (
            kit_marks.found_again if size in gone else kit_marks.lose
        )
        return mark(kit, tool, size)
    if tool is not Tool.FILE:
        ask = say("mark it lost if it is bent or broken")
        raise InputError("tool", tool.value, ask, what=say("only files wear"))
    return (kit_marks.replaced if size in kit.worn_files else kit_marks.wear)(kit, size)


def _save(session: Session, kit: Kit) -> None:
    """Keep what is in the kit, in the jobs on the bench that work with it too, and say so."""
    before = _kit(session)
    followers = tuple(_followers(session, before))
    session.keep(_saved(session, kit), *(_into_job(name, kit) for name in followers))
    done = changes_in_words(before, kit, session.trade)
    said = [f"{begun(done)}."] if done else []
    if followers:
        said.append(
            say_many(
                "It holds in {count} open job too.",
                "It holds in {count} open jobs too.",
                len(followers),
            )
        )
    session.transient.saved = " ".join(said)


def _saved(session: Session, kit: Kit) -> Entry:
    return Kind.KIT_SAVED, {"kit": kit_in_hand(session.history), "value": kit}


def _into_job(job: str, kit: Kit) -> Entry:
    return Kind.JOB_CHANGED, {"job": job, "field": "kit", "value": kit}


def _followers(session: Session, kit: Kit) -> Iterator[str]:
    """The open jobs that work out of this kit, or that were begun while nobody had said what is in
    any."""
    unsaid = set(Tool) == set(assumed_tools(kit, session.trade))
    for line in session.history.open_jobs()[:FOLLOWING]:
        document = session.history.job(line.id)
        if document is None:
            continue
        assumed = unsaid and set(Tool) == set(assumed_tools(document.kit, session.trade))
        if document.kit == kit or assumed:
            yield line.id


def undo_kit_change(session: Session) -> None:
    """Take back the last change of the kit in hand, in the jobs that followed it too, and say what
    that was."""
    event = session.history.event(last_saved(session.history))
    if event is None:
        session.transient.announced = say("Nothing was changed here that could be taken back.")
        return
    after, together = _kit(session), recorded_with(event, session.history)
    gone = (each for each in together if each.kind in (Kind.KIT_SAVED, Kind.JOB_CHANGED))
    session.take_back(*(each.id for each in gone))
    what = changes_in_words(_kit(session), after, session.trade) or say("what is in the bag")
    session.transient.announced = say("Taken back: {what}.", what=what)


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
    commands.ShowSizes: show_sizes,
    commands.TakeSet: take_set,
    HaveStraightEdge: have_straight_edge,
    HaveRule: have_rule,
    commands.EmptyKit: empty_kit,
    commands.ConfirmKit: confirm_kit,
    commands.KitIntoJobs: kit_into_jobs,
    commands.SeeSettings: see_settings,
    commands.SeeRecords: see_records,
    commands.SetSetting: set_setting,
    commands.AskKey: ask_key,
}
