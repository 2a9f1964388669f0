"""Finding instruments, putting others like them on record, and opening jobs on them."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from logic.app.commands import instrument_commands as commands
from logic.app.handlers.leaving import drop_untouched
from logic.app.handlers.player import usual_wish
from logic.app.presenters.instruments import PAGE, title_of
from logic.app.presenters.kit import kit_of
from logic.app.session.actions import Entry
from logic.app.session.places import Place
from logic.app.session.session import Handler, Session
from logic.app.session.transient import InstrumentList
from logic.bench.checks.answered import as_answered
from logic.bench.visits.quick_check import QUICK_CHECK
from logic.history.documents.models import InstrumentDocument
from shared.events import Kind
from shared.instrument import Player
from shared.setup import Scope
from shared.units import Length
from shared.words import mark, say

ANOTHER = mark(", another")
"""What a duplicate is called, until somebody names it."""


def see_instruments(session: Session, _: commands.SeeInstruments) -> None:
    """Go to the list of instruments, from its beginning."""
    drop_untouched(session)
    session.transient.instrument_list = InstrumentList()
    session.go(Place("instruments"))


def check_one(session: Session, _: commands.CheckOne) -> None:
    """Go to the list of instruments: the one that is touched is checked."""
    drop_untouched(session)
    session.transient.instrument_list = InstrumentList(checking=True)
    session.go(Place("instruments"))


def find_instruments(session: Session, command: commands.FindInstruments) -> None:
    """Show those that the words find, from the first."""
    _change_list(session, query=command.text, first=0)


def turn_page(session: Session, command: commands.TurnPage) -> None:
    """Go to another page, if there is one."""
    listed = session.transient.instrument_list
    _, total = session.history.find_instruments(listed.query, 0, 0)
    first = listed.first + command.pages * PAGE
    if 0 <= first < total:
        _change_list(session, first=first)


def choose_several(session: Session, command: commands.ChooseSeveral) -> None:
    """Begin or end choosing."""
    _change_list(session, choosing=command.on, chosen=())


def choose_instrument(session: Session, command: commands.ChooseInstrument) -> None:
    """Take one into the rack, in the order of touching, or out of it."""
    name, chosen = command.instrument, session.transient.instrument_list.chosen
    rest = tuple(each for each in chosen if each != name)
    _change_list(session, chosen=rest if name in chosen else (*chosen, name))


def _change_list(session: Session, **changed: Any) -> None:
    """Show the list of instruments with these fields changed."""
    listed = session.transient.instrument_list
    session.transient.instrument_list = replace(listed, **changed)


def see_instrument(session: Session, command: commands.SeeInstrument) -> None:
    """Go to one instrument's page, if it is on record."""
    if session.history.instrument(command.instrument):
        session.go(Place("instrument", instrument=command.instrument))


def new_job_on(session: Session, command: commands.NewJobOn) -> None:
    """Take it in again: its strings, its nut, who plays it, and the relief it had."""
    found = _on_record(session, command.instrument)
    job = session.new_id()
    relief = _last_relief(session, found)
    body = {"job": job, "gate": "relief_before", "string": None, "answer": str(relief)}
    session.keep(
        (Kind.JOB_OPENED, opening(session, found, job)),
        *(((Kind.CHECK_ANSWERED, body),) if relief else ()),
        *_meant_for(command.scope, job),
        (Kind.PLACE_MOVED, {"job": job, "place": "intake"}),
    )
    session.stand(Place("intake", job))


def _meant_for(scope: Scope, job: str) -> tuple[Entry, ...]:
    """What is recorded of a visit that is for more than the nut."""
    if scope is Scope.NUT:
        return ()
    return ((Kind.SETUP_CHOSEN, {"job": job, "field": "scope", "value": scope.value}),)


def opening(
    session: Session, found: InstrumentDocument, job: str, said: str = ""
) -> dict[str, object]:
    """What is recorded of an instrument that comes in again; its relief is to be measured anew."""
    return {
        "job": job,
        "instrument": found.id,
        "value": found.value.model_copy(update={"relief": None}),
        "player": session.past.player(found.id),
        "kit": kit_of(session.history, session.trade),
        "complaint": said,
    } | ({} if said == QUICK_CHECK else usual_wish(session))


def _last_relief(session: Session, found: InstrumentDocument) -> Length | None:
    """The relief that was last measured on it."""
    for visit in reversed(session.past.visits(found.id)):
        answered = as_answered(visit.document.as_job(), session.trade)
        if answered.instrument.relief is not None:
            return answered.instrument.relief
    return found.value.relief


def _on_record(session: Session, name: str) -> InstrumentDocument:
    found = session.history.instrument(name)
    if found is None:
        raise KeyError(name)
    return found


def duplicate(session: Session, _: commands.Duplicate) -> None:
    """Put another one like it on record, and go to its name."""
    value, name = session.instrument, session.new_id()
    another = say(ANOTHER)
    base = re.sub(rf"{re.escape(another)}( \d+)?$", "", title_of(value))
    label = _unlike_others(session, f"{base}{another}")
    player = session.past.player(session.place.instrument)
    whom = [(Kind.PLAYER_SAVED, {"instrument": name, "value": player})]
    saved = {"instrument": name, "value": value.model_copy(update={"label": label})}
    session.keep((Kind.INSTRUMENT_SAVED, saved), *(whom if player != Player() else ()))
    session.go(Place("name", instrument=name))


def _unlike_others(session: Session, label: str) -> str:
    """The label, with a number where others of that name are on record."""
    found, _ = session.history.find_instruments(label, 0, PAGE)
    known = {each.label for each in found}
    numbered = (f"{label} {number}" for number in range(2, len(known) + 2))
    return next((each for each in (label, *numbered) if each not in known), label)


HANDLERS: dict[type, Handler] = {
    commands.SeeInstruments: see_instruments,
    commands.CheckOne: check_one,
    commands.FindInstruments: find_instruments,
    commands.TurnPage: turn_page,
    commands.ChooseSeveral: choose_several,
    commands.ChooseInstrument: choose_instrument,
    commands.SeeInstrument: see_instrument,
    commands.NewJobOn: new_job_on,
    commands.Duplicate: duplicate,
}
