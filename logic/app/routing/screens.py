"""What each room shows. Opened when somebody goes in: the first screen needs none of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from logic.app.handlers.player import aimed_here
from logic.app.presenters.cutting import cut_of, cut_view, prove_view
from logic.app.presenters.handover import hand_over_view
from logic.app.presenters.home import kind_in_words
from logic.app.presenters.instruments import (
    instrument_view,
    instruments_view,
    name_view,
    nut_view,
    strings_view,
)
from logic.app.presenters.intake import intake_view, kinds_view
from logic.app.presenters.kit import kit_view
from logic.app.presenters.new_nut import new_nut_view
from logic.app.presenters.number_pad import type_view
from logic.app.presenters.plan import plan_view
from logic.app.presenters.questions import before_view, question_view
from logic.app.presenters.quick_check import check_view, checked_view, rack_view
from logic.app.presenters.raising import raising_view
from logic.app.presenters.records import records_view
from logic.app.presenters.targets import TARGET, target_pad, targets_view
from logic.app.presenters.walk import walk_view
from logic.app.presenters.what_if import what_if_view
from logic.app.session.people import hands_to_choose, people_written
from logic.app.session.places import JOB_ROOMS
from logic.app.session.rack import kept_rack
from logic.app.session.session import Session
from logic.app.session.settings import settings_view
from logic.app.views.views import View
from shared.words import say

if TYPE_CHECKING:
    from logic.app.app import App


def show(app: App) -> View:
    """What the present place shows."""
    session = app.session
    if session.way == TARGET:
        return target_pad(aimed_here(session), session.wording, session.trouble)
    if session.place.room not in JOB_ROOMS:
        return _outside(app)
    instrument = session.work.job.instrument
    title = instrument.label or kind_in_words(instrument.kind)
    if session.way:
        return type_view(
            session.work, session.way, session.here, session.wording, title, session.trouble
        )
    if session.place.room == "hand over":
        return hand_over_view(session, title, app.note)
    if session.place.room == "new nut":
        return new_nut_view(session.work, session.wishes, session.wording, title, app.note)
    return _INSIDE[session.place.room](session, title)


def _records(app: App) -> View:
    return records_view(
        app.history,
        tuple(map(say, (*app.storage, *app.warnings))),
        note=app.note,
        agent=app.agent,
        standing=app.standing,
    )


def _ask(session: Session, title: str) -> View:
    """The next question; when none is left, what is still to measure; else the plan."""
    card = question_view(session.work, title, session.place.string, session.wording)
    if card is not None:
        return card
    session.go_measure()
    return _INSIDE[session.place.room](session, title)


def _walk(session: Session, title: str) -> View:
    return walk_view(session.work, session.here, session.wording, title, session.saved)


def _cut(session: Session, title: str) -> View:
    slot = cut_of(session.work, session.here, session.taught, session.who)
    saved = session.trouble or session.saved
    hands = hands_to_choose(session.history)
    return cut_view(session.work, slot, session.here, session.wording, title, saved, hands)


def _targets(session: Session) -> View:
    return targets_view(aimed_here(session), session.wording, session.trade)


def _kit(session: Session) -> View:
    return kit_view(
        session.history,
        session.trade,
        session.wording,
        session.marking,
        session.kit_advice,
        session.trouble,
    )


def _outside(app: App) -> View:
    room = app.session.place.room
    if room in _OUTSIDE:
        return _OUTSIDE[room](app)
    from logic.app.routing.record_screens import KEEPING  # nobody at work needs them

    return KEEPING[room](app)


def _instrument(app: App) -> View:
    from logic.app.routing.record_screens import with_standing

    session = app.session
    found = session.history.instrument(session.place.instrument)
    if found is None:
        raise KeyError(session.place.instrument)
    return with_standing(instrument_view(found, session.past, session.wording, session.saved), app)


def _strings(session: Session) -> View:
    place = session.place
    return strings_view(
        place.instrument, session.instrument, place.string, session.wording, session.trade
    )


def _check(session: Session, title: str) -> View:
    rack = kept_rack(session.history)
    return check_view(session.work, session.here, rack, session.wording, title, session.saved)


def _checked(session: Session, title: str) -> View:
    rack = kept_rack(session.history)
    return checked_view(session.work, session.past, rack, session.wording, title)


_OUTSIDE: dict[str, Callable[[App], View]] = {
    "kinds": lambda app: kinds_view(app.session.trade, app.session.wording),
    "kit": lambda app: _kit(app.session),
    "records": _records,
    "settings": lambda app: settings_view(
        app.settings,
        app.storage,
        app.lacks,
        app.session.waiting,
        people_written(app.history),
    ),
    "instruments": lambda app: instruments_view(
        app.history, app.session.shelf, kept_rack(app.history)
    ),
    "instrument": _instrument,
    "strings": lambda app: _strings(app.session),
    "nut": lambda app: nut_view(
        app.session.place.instrument, app.session.instrument, app.session.trade
    ),
    "own targets": lambda app: _targets(app.session),
    "name": lambda app: name_view(app.session.place.instrument, app.session.instrument),
    "rack": lambda app: rack_view(kept_rack(app.history), app.session.past),
}
_INSIDE: dict[str, Callable[[Session, str], View]] = {
    "intake": lambda session, title: intake_view(session.work, session.wording, title),
    "targets": lambda session, _: _targets(session),
    "before": lambda session, title: before_view(session.work, title),
    "ask": _ask,
    "walk": _walk,
    "plan": lambda session, title: plan_view(
        session.work, session.wording, title, session.place.string, session.pace
    ),
    "what if": lambda session, title: what_if_view(
        session.work, session.changes, session.place.string, session.wording, title
    ),
    "raise": lambda session, title: raising_view(
        session.work, session.method, session.wording, title, session.pace, session.history
    ),
    "cut": _cut,
    "prove": lambda session, title: prove_view(session.work, session.here, session.wording, title),
    "check": _check,
    "checked": _checked,
}
