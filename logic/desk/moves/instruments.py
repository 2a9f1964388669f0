"""Finding instruments, changing them, and opening jobs on them."""

from __future__ import annotations

import re
from dataclasses import replace

from logic.bench.restrung import (
    gauge_moved,
    made_of,
    offered,
    pitch_moved,
    with_set,
    with_tuning,
)
from logic.bench.rules.answered import as_answered
from logic.desk import instrument_commands as commands
from logic.desk.bag import kit_of
from logic.desk.floor import Floor, Move
from logic.desk.instruments import PAGE, Shelf, title_of
from logic.desk.places import Place, Room
from logic.history.documents import InstrumentDocument
from shared.events import Kind
from shared.instrument import Instrument, Nut, Player
from shared.units import Length
from shared.words import mark, say

ANOTHER = mark(", another")
"""What a duplicate is called, until somebody names it."""


def see_instruments(floor: Floor, _: commands.SeeInstruments) -> None:
    """Stand before the list, from its beginning."""
    floor.shelf = Shelf()
    floor.go(Place("instruments"))


def check_one(floor: Floor, _: commands.CheckOne) -> None:
    """Stand before the list, the touched one to be checked."""
    floor.shelf = Shelf(checking=True)
    floor.go(Place("instruments"))


def find_instruments(floor: Floor, command: commands.FindInstruments) -> None:
    """Show those that the words find, from the first."""
    floor.shelf = replace(floor.shelf, query=command.text, first=0)


def turn_page(floor: Floor, command: commands.TurnPage) -> None:
    """Go to another page, if there is one."""
    shelf = floor.shelf
    _, total = floor.history.find_instruments(shelf.query, 0, 0)
    first = shelf.first + command.pages * PAGE
    if 0 <= first < total:
        floor.shelf = replace(shelf, first=first)


def choose_several(floor: Floor, command: commands.ChooseSeveral) -> None:
    """Begin or end choosing."""
    floor.shelf = replace(floor.shelf, choosing=command.on, chosen=())


def choose_instrument(floor: Floor, command: commands.ChooseInstrument) -> None:
    """Take one into the rack, in the order of touching, or out of it."""
    name, chosen = command.instrument, floor.shelf.chosen
    rest = tuple(each for each in chosen if each != name)
    floor.shelf = replace(floor.shelf, chosen=rest if name in chosen else (*chosen, name))


def see_instrument(floor: Floor, command: commands.SeeInstrument) -> None:
    """Stand before one instrument's page, if it is on record."""
    if floor.history.instrument(command.instrument):
        floor.go(Place("instrument", instrument=command.instrument))


def new_job_on(floor: Floor, command: commands.NewJobOn) -> None:
    """Take it in again: its strings, its nut, who plays it, and the relief it had."""
    found = _on_record(floor, command.instrument)
    job = floor.new_id()
    relief = _last_relief(floor, found)
    body = {"job": job, "gate": "relief_before", "string": None, "answer": str(relief)}
    floor.keep(
        (Kind.JOB_OPENED, opening(floor, found, job)),
        *(((Kind.CHECK_ANSWERED, body),) if relief else ()),
        (Kind.PLACE_MOVED, {"job": job, "place": "intake"}),
    )
    floor.place = Place("intake", job)


def opening(floor: Floor, found: InstrumentDocument, job: str, said: str = "") -> dict[str, object]:
    """What is recorded of an instrument that comes in again; its relief is to be measured anew."""
    return {
        "job": job,
        "instrument": found.id,
        "value": found.value.model_copy(update={"relief": None}),
        "player": floor.past.player(found.id),
        "kit": kit_of(floor.history, floor.trade),
        "complaint": said,
    }


def _last_relief(floor: Floor, found: InstrumentDocument) -> Length | None:
    """The relief that was last measured on it."""
    for visit in reversed(floor.past.visits(found.id)):
        told = as_answered(visit.document.as_job(), floor.trade)
        if told.instrument.relief is not None:
            return told.instrument.relief
    return found.value.relief


def _on_record(floor: Floor, name: str) -> InstrumentDocument:
    found = floor.history.instrument(name)
    if found is None:
        raise KeyError(name)
    return found


# --- changing one ---


def duplicate(floor: Floor, _: commands.Duplicate) -> None:
    """Put another one like it on record, and stand before its name."""
    value, name = floor.instrument, floor.new_id()
    another = say(ANOTHER)
    base = re.sub(rf"{re.escape(another)}( \d+)?$", "", title_of(value))
    label = _unlike_others(floor, f"{base}{another}")
    player = floor.past.player(floor.place.instrument)
    whom = [(Kind.PLAYER_SAVED, {"instrument": name, "value": player})]
    saved = {"instrument": name, "value": value.model_copy(update={"label": label})}
    floor.keep((Kind.INSTRUMENT_SAVED, saved), *(whom if player != Player() else ()))
    floor.go(Place("name", instrument=name))


def _unlike_others(floor: Floor, label: str) -> str:
    """The label, with a number where others of that name are on record."""
    found, _ = floor.history.find_instruments(label, 0, PAGE)
    known = {each.label for each in found}
    numbered = (f"{label} {number}" for number in range(2, len(known) + 2))
    return next((each for each in (label, *numbered) if each not in known), label)


def save_name(floor: Floor, command: commands.SaveName) -> None:
    """Give it a label and an owner's tag, and go back to its page."""
    label, owner = (" ".join(text.split())[:120] for text in (command.label, command.owner))
    _change(floor, floor.instrument.model_copy(update={"label": label, "owner": owner}))
    floor.go(Place("instrument", instrument=floor.place.instrument))


def see_strings(floor: Floor, command: commands.SeeStrings) -> None:
    """Stand before the strings, the steppers turning one of them or all."""
    floor.go(Place("strings", string=command.string, instrument=floor.place.instrument))


def step_pitch(floor: Floor, command: commands.StepPitch) -> None:
    """Tune up or down."""
    _change(floor, pitch_moved(floor.instrument, floor.place.string, command.semitones))


def step_gauge(floor: Floor, command: commands.StepGauge) -> None:
    """Thicker or thinner."""
    _change(floor, gauge_moved(floor.instrument, floor.place.string, command.thou))


def set_make(floor: Floor, command: commands.SetMake) -> None:
    """Of another make."""
    _change(floor, made_of(floor.instrument, floor.place.string, command.make))


def put_on_set(floor: Floor, command: commands.PutOnSet) -> None:
    """Put a usual set on, if there is one of that name."""
    for strings in offered(floor.instrument, floor.trade).sets:
        if strings.name == command.name:
            _change(floor, with_set(floor.instrument, strings))


def retune(floor: Floor, command: commands.Retune) -> None:
    """Tune to a usual tuning, if there is one of that name."""
    for tuning in offered(floor.instrument, floor.trade).tunings:
        if tuning.name == command.name:
            _change(floor, with_tuning(floor.instrument, tuning))


def set_nut_type(floor: Floor, command: commands.SetNutType) -> None:
    """Say how the nut holds its strings."""
    _change_nut(floor, floor.instrument.nut.model_copy(update={"type": command.type}))


def set_nut_material(floor: Floor, command: commands.SetNutMaterial) -> None:
    """Say what the nut is made of."""
    _change_nut(floor, floor.instrument.nut.model_copy(update={"material": command.material}))


def take_back_change(floor: Floor) -> None:
    """Undo the last change of the instrument at hand; what its jobs brought in stays."""
    found = _on_record(floor, floor.place.instrument)
    latest = max(found.marks.values(), key=lambda mark: mark.order, default=None)
    event = floor.history.event(latest.event) if latest else None
    if event is None:
        return
    was = any(each.field == "value" for each in found.timeline)  # else nothing would be left
    if event.kind == Kind.PLAYER_SAVED or (event.kind == Kind.INSTRUMENT_SAVED and was):
        floor.take_back(event.id)


def _change_nut(floor: Floor, nut: Nut) -> None:
    _change(floor, floor.instrument.model_copy(update={"nut": nut}))


def _change(floor: Floor, changed: Instrument) -> None:
    """Keep a change; one that changes nothing is not kept."""
    if changed != floor.instrument:
        _save(floor, floor.place.instrument, changed)


def _save(floor: Floor, name: str, value: Instrument) -> None:
    floor.keep((Kind.INSTRUMENT_SAVED, {"instrument": name, "value": value}))


def _stand(room: Room) -> Move:
    """Stand in another room of the same instrument."""
    return lambda floor, _: floor.go(Place(room, instrument=floor.place.instrument))


MOVES: dict[type, Move] = {
    commands.SeeInstruments: see_instruments,
    commands.CheckOne: check_one,
    commands.FindInstruments: find_instruments,
    commands.TurnPage: turn_page,
    commands.ChooseSeveral: choose_several,
    commands.ChooseInstrument: choose_instrument,
    commands.SeeInstrument: see_instrument,
    commands.NewJobOn: new_job_on,
    commands.Duplicate: duplicate,
    commands.SeeName: _stand("name"),
    commands.SaveName: save_name,
    commands.SeeStrings: see_strings,
    commands.StepPitch: step_pitch,
    commands.StepGauge: step_gauge,
    commands.SetMake: set_make,
    commands.PutOnSet: put_on_set,
    commands.Retune: retune,
    commands.SeeNut: _stand("nut"),
    commands.SetNutType: set_nut_type,
    commands.SetNutMaterial: set_nut_material,
}
