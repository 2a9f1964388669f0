"""What each room shows. Opened when somebody goes in: the first screen needs none of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from logic.desk.asking import before_view, question_view
from logic.desk.bag import kit_view
from logic.desk.checking import check_view, checked_view, rack_view
from logic.desk.cutting import cut_of, cut_view, prove_view
from logic.desk.floor import Floor
from logic.desk.handing_over import hand_over_view
from logic.desk.home import kind_in_words
from logic.desk.instruments import (
    instrument_view,
    instruments_view,
    name_view,
    nut_view,
    strings_view,
)
from logic.desk.keeping import records_view
from logic.desk.laying_out import new_nut_view
from logic.desk.moves.playing import aimed_here
from logic.desk.number_pad import type_view
from logic.desk.people import hands_to_choose, people_written
from logic.desk.places import JOB_ROOMS
from logic.desk.planning import plan_view
from logic.desk.rack import kept_rack
from logic.desk.raising import ways_view
from logic.desk.settings import settings_view
from logic.desk.taking_in import intake_view, kinds_view
from logic.desk.targets import TARGET, target_pad, targets_view
from logic.desk.views import View
from logic.desk.walking import walk_view
from logic.desk.wondering import what_if_view
from shared.words import say

if TYPE_CHECKING:
    from logic.desk.desk import Desk


def show(desk: Desk) -> View:
    """What the present place shows."""
    floor = desk.floor
    if floor.way == TARGET:
        return target_pad(aimed_here(floor), floor.wording, floor.trouble)
    if floor.place.room not in JOB_ROOMS:
        return _outside(desk)
    instrument = floor.work.job.instrument
    title = instrument.label or kind_in_words(instrument.kind)
    if floor.way:
        return type_view(floor.work, floor.way, floor.here, floor.wording, title, floor.trouble)
    if floor.place.room == "hand over":
        return hand_over_view(floor, title, desk.note)
    if floor.place.room == "new nut":
        return new_nut_view(floor.work, floor.wishes, floor.wording, title, desk.note)
    return _INSIDE[floor.place.room](floor, title)


def _records(desk: Desk) -> View:
    return records_view(
        desk.history,
        tuple(map(say, (*desk.storage, *desk.warnings))),
        note=desk.note,
        agent=desk.agent,
        standing=desk.standing,
    )


def _ask(floor: Floor, title: str) -> View:
    """The next question; when none is left, what is still to measure; else the plan."""
    card = question_view(floor.work, title, floor.place.string, floor.wording)
    if card is not None:
        return card
    floor.go_measure()
    return _INSIDE[floor.place.room](floor, title)


def _walk(floor: Floor, title: str) -> View:
    return walk_view(floor.work, floor.here, floor.wording, title, floor.saved)


def _cut(floor: Floor, title: str) -> View:
    slot = cut_of(floor.work, floor.here, floor.taught, floor.who)
    saved = floor.trouble or floor.saved
    hands = hands_to_choose(floor.history)
    return cut_view(floor.work, slot, floor.here, floor.wording, title, saved, hands)


def _targets(floor: Floor) -> View:
    return targets_view(aimed_here(floor), floor.wording, floor.trade)


def _kit(floor: Floor) -> View:
    return kit_view(
        floor.history, floor.trade, floor.wording, floor.marking, floor.kit_advice, floor.trouble
    )


def _outside(desk: Desk) -> View:
    room = desk.floor.place.room
    if room in _OUTSIDE:
        return _OUTSIDE[room](desk)
    from logic.desk.keeping_rooms import KEEPING  # nobody at work needs them

    return KEEPING[room](desk)


def _instrument(desk: Desk) -> View:
    from logic.desk.keeping_rooms import with_standing

    floor = desk.floor
    found = floor.history.instrument(floor.place.instrument)
    if found is None:
        raise KeyError(floor.place.instrument)
    return with_standing(instrument_view(found, floor.past, floor.wording, floor.saved), desk)


def _strings(floor: Floor) -> View:
    place = floor.place
    return strings_view(
        place.instrument, floor.instrument, place.string, floor.wording, floor.trade
    )


def _check(floor: Floor, title: str) -> View:
    rack = kept_rack(floor.history)
    return check_view(floor.work, floor.here, rack, floor.wording, title, floor.saved)


def _checked(floor: Floor, title: str) -> View:
    rack = kept_rack(floor.history)
    return checked_view(floor.work, floor.past, rack, floor.wording, title)


_OUTSIDE: dict[str, Callable[[Desk], View]] = {
    "kinds": lambda desk: kinds_view(desk.floor.trade, desk.floor.wording),
    "kit": lambda desk: _kit(desk.floor),
    "records": _records,
    "settings": lambda desk: settings_view(
        desk.settings,
        desk.storage,
        desk.lacks,
        desk.floor.waiting,
        people_written(desk.history),
    ),
    "instruments": lambda desk: instruments_view(
        desk.history, desk.floor.shelf, kept_rack(desk.history)
    ),
    "instrument": _instrument,
    "strings": lambda desk: _strings(desk.floor),
    "nut": lambda desk: nut_view(
        desk.floor.place.instrument, desk.floor.instrument, desk.floor.trade
    ),
    "own targets": lambda desk: _targets(desk.floor),
    "name": lambda desk: name_view(desk.floor.place.instrument, desk.floor.instrument),
    "rack": lambda desk: rack_view(kept_rack(desk.history), desk.floor.past),
}
_INSIDE: dict[str, Callable[[Floor, str], View]] = {
    "intake": lambda floor, title: intake_view(floor.work, floor.wording, title),
    "targets": lambda floor, _: _targets(floor),
    "before": lambda floor, title: before_view(floor.work, title),
    "ask": _ask,
    "walk": _walk,
    "plan": lambda floor, title: plan_view(
        floor.work, floor.wording, title, floor.place.string, floor.pace
    ),
    "what if": lambda floor, title: what_if_view(
        floor.work, floor.changes, floor.place.string, floor.wording, title
    ),
    "raise": lambda floor, title: ways_view(
        floor.work, floor.method, floor.wording, title, floor.pace, floor.history
    ),
    "cut": _cut,
    "prove": lambda floor, title: prove_view(floor.work, floor.here, floor.wording, title),
    "check": _check,
    "checked": _checked,
}
