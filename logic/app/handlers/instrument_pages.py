"""Changing the instrument at hand: on its own page, or in the visit that it came in for."""

from __future__ import annotations

from typing import Literal

from logic.app.commands import instrument_commands as commands
from logic.app.commands.commands import SayDifferent
from logic.app.handlers.instrument_at_hand import entries_of, instrument_here, keep_instrument
from logic.app.handlers.intake import say_different
from logic.app.presenters.corrections import MATERIAL
from logic.app.presenters.figures import what_follows, with_typed
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
from logic.bench.instrument.string_count import (
    outermost,
    with_string_fewer,
    with_string_more,
)
from shared.events import Kind
from shared.instrument import Instrument, Nut
from shared.job import LONGEST_TICKET
from shared.words import say

Page = Literal["strings", "nut", "name"]
_IN_A_JOB: dict[Page, ScreenName] = {
    "strings": "job strings",
    "nut": "job nut",
    "name": "job name",
}
"""The same pages within a visit."""


def _go(session: Session, page: Page, string: int | None = None) -> None:
    """To another page of the instrument at hand."""
    if session.route.in_job:
        session.go_in_job(_IN_A_JOB[page], string)
    else:
        session.go_to_instrument(page, string)


def _see(page: Page) -> Handler:
    return lambda session, _: _go(session, page)


def see_taken_in(session: Session, _: commands.SeeTakenIn) -> None:
    """Go to the visit as it was taken in, to see or change what stands there."""
    session.go_in_job("intake")


def see_strings(session: Session, command: commands.SeeStrings) -> None:
    """Go to the strings, the steppers turning one of them or all."""
    _go(session, "strings", command.string)


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
    _change(session, pitch_moved(instrument_here(session), session.place.string, command.semitones))


def step_gauge(session: Session, command: commands.StepGauge) -> None:
    """Thicker or thinner."""
    now, string = instrument_here(session), session.place.string
    _change(session, gauge_moved(now, string, command.thou, session.trade))


def set_make(session: Session, command: commands.SetMake) -> None:
    """Of another make."""
    _change(session, made_of(instrument_here(session), session.place.string, command.make))


def put_on_set(session: Session, command: commands.PutOnSet) -> None:
    """Put a usual set on, if there is one of that name."""
    for strings in offered(instrument_here(session), session.trade).sets:
        if strings.name == command.name:
            _change(session, with_set(instrument_here(session), strings))


def retune(session: Session, command: commands.Retune) -> None:
    """Tune to a usual tuning, if there is one of that name."""
    for tuning in offered(instrument_here(session), session.trade).tunings:
        if tuning.name == command.name:
            _change(session, with_tuning(instrument_here(session), tuning))


def more_strings(session: Session, _: commands.MoreStrings) -> None:
    """One string more at the bass side, as it would be tuned and strung."""
    _change(session, with_string_more(instrument_here(session), session.trade))


def fewer_strings(session: Session, _: commands.FewerStrings) -> None:
    """The outermost string is taken away, unless something was read or done with it today."""
    now = instrument_here(session)
    gone = outermost(now)
    if session.route.in_job and _was_worked_on(session, gone):
        session.transient.refused = say(
            "String {name} was read at this visit, so it stays. Take its readings back first.",
            name=now.name_of(gone),
        )
        return
    if session.place.string == gone:
        _go(session, "strings")
    _change(session, with_string_fewer(now))


def _was_worked_on(session: Session, string: int) -> bool:
    job = session.work.job
    read, filed = (one.string for one in job.readings), (one.string for one in job.passes)
    proved = (one.string for one in job.proofs)
    touched = (each for one in job.rounds for each in one.work.strings)
    return string in {*read, *filed, *proved, *touched}


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
    _change(session, with_typed(kind, string, text, now, session.trade))


def _change_nut(session: Session, nut: Nut) -> None:
    _change(session, instrument_here(session).model_copy(update={"nut": nut}))


def _change(session: Session, changed: Instrument) -> None:
    """Keep a change, and say what becomes of what was read; one that changes nothing is not
    kept."""
    before = instrument_here(session)
    if changed == before:
        return
    session.keep(*entries_of(session, changed))
    if session.route.in_job:
        session.transient.follows = what_follows(session.work, before)


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
    commands.MoreStrings: more_strings,
    commands.FewerStrings: fewer_strings,
    commands.SeeNut: _see("nut"),
    commands.SetNutType: set_nut_type,
    commands.SetNutMaterial: set_nut_material,
}
