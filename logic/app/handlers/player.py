"""Who plays it: how hard, and the own targets; of the job at hand, or on an instrument's page."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.presenters.home import kind_in_words
from logic.app.presenters.targets import Aimed
from logic.app.session.session import Handler, Session
from logic.app.session.settings import TO_TARGET
from logic.bench.instrument.plausibility import read_length
from logic.bench.window.own_targets import (
    clearance_kind,
    stepped,
    with_own_targets,
    without_own_targets,
)
from shared.events import Kind
from shared.instrument import Instrument, Player


def aimed_here(session: Session) -> Aimed:
    """Whose targets the present place speaks of."""
    in_job = session.route.in_job
    instrument = session.work.job.instrument if in_job else session.instrument
    player = session.work.job.player if in_job else session.past.player(session.place.instrument)
    wished = session.work.job.to_my_target if in_job else None
    return Aimed(instrument, player, session.place.string, _title(instrument), wished)


def _title(instrument: Instrument) -> str:
    return instrument.label or kind_in_words(instrument.kind)


def see_targets(session: Session, command: commands.SeeTargets) -> None:
    """Go to the targets of the job, or of the instrument."""
    if session.place.instrument:
        session.go_to_instrument("own targets", command.string)
    else:
        session.go_in_job("targets", command.string)


def set_target(session: Session, command: commands.SetTarget) -> None:
    """Step it, from the table's where there is no own one."""
    here = aimed_here(session)
    unit = session.wording.unit
    changed = stepped(
        here.instrument, here.player, here.strings, command.steps, unit, session.trade
    )
    _keep(session, here.player, changed)


def tables_target(session: Session, _: commands.TablesTarget) -> None:
    """Aim where the table does again."""
    here = aimed_here(session)
    _keep(session, here.player, without_own_targets(here.player, here.strings))


def take_typed_target(session: Session, text: str) -> None:
    """Keep the target that was typed; InputError, and nothing kept, where it can hardly be."""
    here = aimed_here(session)
    target = read_length(clearance_kind(here.instrument), text, session.trade)
    _keep(session, here.player, with_own_targets(here.player, target, here.strings))


def set_attack(session: Session, command: commands.SetAttack) -> None:
    """Say how hard the player plays."""
    player = aimed_here(session).player
    _keep(session, player, player.model_copy(update={"attack": command.attack}))


def set_bow(session: Session, command: commands.SetBow) -> None:
    """Say whether the player bows the strings."""
    player = aimed_here(session).player
    _keep(session, player, player.model_copy(update={"bowed": command.bowed or None}))


def set_to_target(session: Session, command: commands.SetToTarget) -> None:
    """Say how far down the slots of this visit come; it is a visit's, never an instrument's."""
    if session.route.in_job and session.work.job.to_my_target != command.on:
        session.record(Kind.JOB_CHANGED, field="to_my_target", value=command.on)


def usual_wish(session: Session) -> dict[str, bool]:
    """What a visit opens with where this bench asks for the target at every one."""
    return {"to_my_target": True} if session.settings[TO_TARGET] == "on" else {}


def _keep(session: Session, player: Player, changed: Player) -> None:
    """Keep what differs, in the job or with the instrument."""
    if changed == player:
        return
    if session.route.in_job:
        session.record(Kind.JOB_CHANGED, field="player", value=changed)
    else:
        body = {"instrument": session.place.instrument, "value": changed}
        session.keep((Kind.PLAYER_SAVED, body))


HANDLERS: dict[type, Handler] = {
    commands.SeeTargets: see_targets,
    commands.SetTarget: set_target,
    commands.TablesTarget: tables_target,
    commands.SetAttack: set_attack,
    commands.SetBow: set_bow,
    commands.SetToTarget: set_to_target,
}
