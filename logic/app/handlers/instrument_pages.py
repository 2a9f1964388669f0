"""Changing the instrument at hand: on its own page, or in the visit that it came in for."""

from __future__ import annotations

from typing import Literal

from logic.app.commands import board_commands
from logic.app.commands import instrument_commands as commands
from logic.app.commands.commands import SayDifferent
from logic.app.handlers.instrument_at_hand import entries_of, instrument_here, keep_instrument
from logic.app.handlers.intake import keep_fact, say_different
from logic.app.presenters.corrections import HAND, MATERIAL, board_key, corrected
from logic.app.presenters.figures import BOARD_FIGURES, what_follows, with_typed
from logic.app.session.places import ScreenName
from logic.app.session.session import Handler, Session
from logic.bench.instrument.restringing import (
    gauge_moved,
    made_of,
    offered,
    pitch_moved,
    with_set,
    with_tuning,
)
from logic.bench.instrument.string_count import outermost
from shared.events import Kind
from shared.instrument import Instrument, Nut
from shared.job import LONGEST_TICKET

Page = Literal["strings", "nut", "board", "name"]
_IN_A_JOB: dict[Page, ScreenName] = {
    "strings": "job strings",
    "nut": "job nut",
    "board": "job board",
    "name": "job name",
}
"""The same pages within a visit."""


def go_to_page(session: Session, page: Page, string: int | None = None) -> None:
    """To another page of the instrument at hand."""
    if session.route.in_job:
        session.go_in_job(_IN_A_JOB[page], string)
    else:
        session.go_to_instrument(page, string)


def _see(page: Page) -> Handler:
    return lambda session, _: go_to_page(session, page)


def see_taken_in(session: Session, _: commands.SeeTakenIn) -> None:
    """Go to the visit as it was taken in, to see or change what stands there."""
    session.go_in_job("intake")


def see_strings(session: Session, command: commands.SeeStrings) -> None:
    """Go to the strings, the steppers turning one of them or all."""
    go_to_page(session, "strings", command.string)


def save_name(session: Session, command: commands.SaveName) -> None:
    """Give it a label and an owner's tag, and the visit a ticket; then back to what was shown."""
    now = instrument_here(session)
    label, owner = (_on_a_line(text, 120) for text in (command.label, command.owner))
    changed = now.model_copy(update={"label": label, "owner": owner})
    ticket = _on_a_line(command.ticket, LONGEST_TICKET)
    beside = []
    if session.route.in_job and ticket != session.work.job.ticket:
        body = {"job": session.place.job, "field": "ticket", "value": ticket}
        beside.append((Kind.JOB_CHANGED, body))
    keep_instrument(session, changed, *beside)
    if session.route.in_job:
        session.route.back(session)
    else:
        session.go_to_instrument("instrument")


def _on_a_line(text: str, longest: int) -> str:
    return " ".join(text.split())[:longest]


def step_pitch(session: Session, command: commands.StepPitch) -> None:
    """Tune up or down."""
    keep_change(
        session, pitch_moved(instrument_here(session), session.place.string, command.semitones)
    )


def step_gauge(session: Session, command: commands.StepGauge) -> None:
    """Thicker or thinner."""
    now, string = instrument_here(session), session.place.string
    keep_change(session, gauge_moved(now, string, command.thou, session.trade))


def set_make(session: Session, command: commands.SetMake) -> None:
    """Of another make."""
    keep_change(session, made_of(instrument_here(session), session.place.string, command.make))


def put_on_set(session: Session, command: commands.PutOnSet) -> None:
    """Put a usual set on, if there is one of that name."""
    for strings in offered(instrument_here(session), session.trade).sets:
        if strings.name == command.name:
            keep_change(session, with_set(instrument_here(session), strings))


def retune(session: Session, command: commands.Retune) -> None:
    """Tune to a usual tuning, if there is one of that name."""
    for tuning in offered(instrument_here(session), session.trade).tunings:
        if tuning.name == command.name:
            keep_change(session, with_tuning(instrument_here(session), tuning))


def set_nut_type(session: Session, command: commands.SetNutType) -> None:
    """Say how the nut holds its strings; in a visit that answers what is asked of it."""
    if session.route.in_job:
        say_different(session, SayDifferent("nut_type", command.type.value))
    else:
        _change_nut(session, instrument_here(session).nut.model_copy(update={"type": command.type}))


def set_nut_material(session: Session, command: commands.SetNutMaterial) -> None:
    """Say what the nut is made of."""
    if session.route.in_job:
        say_different(session, SayDifferent(MATERIAL, command.material))
    else:
        nut = instrument_here(session).nut.model_copy(update={"material": command.material})
        _change_nut(session, nut)


def take_typed_figure(session: Session, kind: str, text: str) -> None:
    """Keep the figure that was typed; InputError, and nothing kept, where it can hardly be."""
    now = instrument_here(session)
    string = session.place.string or outermost(now)
    listed = session.transient.frets_listed
    changed = with_typed(kind, string, text, now, session.trade, listed)
    if kind in BOARD_FIGURES:
        keep_board(session, changed)
        session.transient.frets_listed += 1
    else:
        keep_change(session, changed)


def keep_board(session: Session, changed: Instrument) -> None:
    """Keep where the frets are; in a visit that answers whether there are any."""
    before = instrument_here(session)
    if not session.route.in_job or changed.fretted == before.fretted:
        keep_change(session, changed)
        return
    keep_fact(session, changed, "board", board_key(changed))
    session.transient.follows = what_follows(session.work, before)


def set_hand(session: Session, command: board_commands.SetHand) -> None:
    """Say which way it is strung."""
    hand = "left" if command.left else "right"
    keep_change(session, corrected(instrument_here(session), HAND, hand))


def _change_nut(session: Session, nut: Nut) -> None:
    keep_change(session, instrument_here(session).model_copy(update={"nut": nut}))


def keep_change(session: Session, changed: Instrument) -> None:
    """Keep a change, and say what becomes of what was read; one that changes nothing is not
    kept."""
    before = instrument_here(session)
    if changed == before:
        return
    session.keep(*entries_of(session, changed))
    if session.route.in_job:
        followed = what_follows(session.work, before)
        session.transient.follows = " ".join(filter(None, (session.transient.follows, followed)))


HANDLERS: dict[type, Handler] = {
    commands.SeeName: _see("name"),
    commands.SaveName: save_name,
    commands.SeeStrings: see_strings,
    commands.SeeTakenIn: see_taken_in,
    commands.StepPitch: step_pitch,
    commands.StepGauge: step_gauge,
    commands.SetMake: set_make,
    commands.PutOnSet: put_on_set,
    commands.Retune: retune,
    board_commands.SeeBoard: _see("board"),
    board_commands.SetHand: set_hand,
    commands.SeeNut: _see("nut"),
    commands.SetNutType: set_nut_type,
    commands.SetNutMaterial: set_nut_material,
}
