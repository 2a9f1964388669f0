"""The nut as a whole: its ways of being raised, and a new one laid out. Of all that only the place
and what a way took are recorded.
"""

from __future__ import annotations

from dataclasses import replace

from logic.bench.nut_layout import Spacing, Wishes
from logic.desk import commands
from logic.desk.floor import Floor, Move
from logic.desk.laying_out import turned_margin
from logic.desk.pace import MOST_MINUTES, took_kept, took_name
from shared.events import Kind
from shared.words import say


def see_ways(floor: Floor, command: commands.SeeWays) -> None:
    """Stand before the ways side by side."""
    floor.method = command.method
    floor.go_in_job("raise")


def note_minutes(floor: Floor, command: commands.NoteMinutes) -> None:
    """Keep what a way took in this job: the bench learns its own pace from it."""
    options = floor.work.plan.nut.options
    option = next((one for one in options if one.method == command.method), None)
    if option is None or not 0 <= command.minutes <= MOST_MINUTES:
        floor.trouble = say("Between 1 and {most} minutes can be noted.", most=MOST_MINUTES)
        return
    name = took_name(floor.work.id, option.method)
    value = took_kept(command.minutes, option)
    floor.keep((Kind.SETTING_CHANGED, {"name": name, "value": value}))


def see_new_nut(floor: Floor, _: commands.SeeNewNut) -> None:
    """Stand before a new nut, laid out as common practice has it."""
    if floor.place.room != "new nut":
        floor.wishes = Wishes()
    floor.go_in_job("new nut")


def set_spacing(floor: Floor, command: commands.SetSpacing) -> None:
    """Keep something else equal."""
    floor.wishes = replace(floor.wishes, spacing=Spacing(command.spacing))


def turn_margin(floor: Floor, command: commands.TurnMargin) -> None:
    """Step one distance."""
    kind = floor.work.job.instrument.kind
    floor.wishes = turned_margin(floor.wishes, command.edge, command.steps, kind, floor.trade)


MOVES: dict[type, Move] = {
    commands.SeeWays: see_ways,
    commands.NoteMinutes: note_minutes,
    commands.SeeNewNut: see_new_nut,
    commands.SetSpacing: set_spacing,
    commands.TurnMargin: turn_margin,
}
