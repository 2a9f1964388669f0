"""Who plays it: how hard, and the own targets; of the job at hand, or on an instrument's page."""

from __future__ import annotations

from logic.bench.own_targets import quantity, stepped, with_own, with_the_tables
from logic.bench.plausible import read_length
from logic.desk import commands
from logic.desk.floor import Floor, Move
from logic.desk.home import kind_in_words
from logic.desk.places import JOB_ROOMS, Place
from logic.desk.targets import Aimed
from shared.events import Kind
from shared.instrument import Instrument, Player


def aimed_here(floor: Floor) -> Aimed:
    """Whose targets the present place speaks of."""
    in_job = floor.place.room in JOB_ROOMS
    instrument = floor.work.job.instrument if in_job else floor.instrument
    player = floor.work.job.player if in_job else floor.past.player(floor.place.instrument)
    return Aimed(instrument, player, floor.place.string, _title(instrument), in_job)


def _title(instrument: Instrument) -> str:
    return instrument.label or kind_in_words(instrument.kind)


def see_targets(floor: Floor, command: commands.SeeTargets) -> None:
    """Stand before the targets of the job, or of the instrument."""
    if floor.place.instrument:
        name = floor.place.instrument
        floor.go(Place("own targets", string=command.string, instrument=name))
    else:
        floor.go_in_job("targets", command.string)


def set_target(floor: Floor, command: commands.SetTarget) -> None:
    """Step it, from the table's where there is no own one."""
    here = aimed_here(floor)
    unit = floor.wording.unit
    changed = stepped(here.instrument, here.player, here.strings, command.steps, unit, floor.trade)
    _keep(floor, here.player, changed)


def tables_target(floor: Floor, _: commands.TablesTarget) -> None:
    """Aim where the table does again."""
    here = aimed_here(floor)
    _keep(floor, here.player, with_the_tables(here.player, here.strings))


def take_typed_target(floor: Floor, text: str) -> None:
    """Keep the target that was typed; InputError, and nothing kept, where it can hardly be."""
    here = aimed_here(floor)
    target = read_length(quantity(here.instrument), text, floor.trade)
    _keep(floor, here.player, with_own(here.player, target, here.strings))


def set_attack(floor: Floor, command: commands.SetAttack) -> None:
    """Say how hard the player plays."""
    player = aimed_here(floor).player
    _keep(floor, player, player.model_copy(update={"attack": command.attack}))


def _keep(floor: Floor, player: Player, changed: Player) -> None:
    """Keep what differs, in the job or with the instrument."""
    if changed == player:
        return
    if floor.place.room in JOB_ROOMS:
        floor.record(Kind.JOB_CHANGED, field="player", value=changed)
    else:
        body = {"instrument": floor.place.instrument, "value": changed}
        floor.keep((Kind.PLAYER_SAVED, body))


MOVES: dict[type, Move] = {
    commands.SeeTargets: see_targets,
    commands.SetTarget: set_target,
    commands.TablesTarget: tables_target,
    commands.SetAttack: set_attack,
}
