"""The nut as a whole: its ways of being raised, and a new one laid out. None of it is recorded but
the place.
"""

from __future__ import annotations

from dataclasses import replace

from logic.bench.nut_layout import Spacing, Wishes
from logic.desk import commands
from logic.desk.floor import Floor, Move
from logic.desk.laying_out import turned_margin


def see_ways(floor: Floor, command: commands.SeeWays) -> None:
    """Stand before the ways side by side."""
    floor.method = command.method
    floor.go_in_job("raise")


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
    commands.SeeNewNut: see_new_nut,
    commands.SetSpacing: set_spacing,
    commands.TurnMargin: turn_margin,
}
