"""What is shown at the screens of the bench and at the pages of an instrument."""

from __future__ import annotations

from dataclasses import replace

from logic.app.handlers.instrument_at_hand import instrument_here
from logic.app.presenters.instrument_pages import (
    name_of_visit,
    name_view,
    nut_view,
    others_of,
    strings_of_visit,
    strings_view,
)
from logic.app.presenters.instruments import instrument_view, instruments_view
from logic.app.presenters.intake import kinds_lately, kinds_view
from logic.app.presenters.kit import KitTouches, kit_view
from logic.app.presenters.quick_check import rack_view
from logic.app.presenters.records import records_view
from logic.app.presenters.settings import settings_view
from logic.app.routing.home_screen import home_screen
from logic.app.routing.shown import Shown
from logic.app.session.people import people_written
from logic.app.session.rack import kept_rack
from logic.app.session.settings import TECHNICIAN, WORKSHOP, name_written
from logic.app.views.views import View
from logic.bench.plan.walk import walk_order
from shared.words import say


def home(shown: Shown) -> View:
    """The jobs on the bench."""
    session = shown.session
    away = session.transient.put_away
    return home_screen(session.history, shown.device, shown.reminder, shown.note, away)


def kinds(shown: Shown) -> View:
    """The kinds of instrument that can be taken in."""
    session = shown.session
    return kinds_view(session.trade, session.wording, kinds_lately(session.history))


def kit(shown: Shown) -> View:
    """What is in the kit in hand."""
    session, transient = shown.session, shown.session.transient
    return kit_view(
        session.history,
        session.trade,
        session.wording,
        KitTouches(
            marking=transient.tool_marking,
            unit=transient.kit_unit,
            advice=transient.kit_advice,
            changed=transient.saved,
            trouble=transient.refused,
        ),
    )


def settings(shown: Shown) -> View:
    """Every setting, and what this device lacks for it."""
    session, device = shown.session, shown.device
    return settings_view(
        session.settings,
        device.storage,
        device.lacks,
        session.transient.awaited_key,
        people_written(session.history),
        tuple((name, name_written(session.history, name)) for name in (WORKSHOP, TECHNICIAN)),
    )


def records(shown: Shown) -> View:
    """Where the records are and how to carry them."""
    device = shown.device
    return records_view(
        shown.session.history,
        tuple(map(say, (*device.storage, *device.warnings))),
        note=shown.note,
        agent=shown.hub.agent if shown.hub else None,
        standing=device.install,
    )


def instruments(shown: Shown) -> View:
    """One page of the list of instruments."""
    session = shown.session
    rack = kept_rack(session.history)
    return instruments_view(session.history, session.transient.instrument_list, rack)


def rack(shown: Shown) -> View:
    """What was found of the instruments that were checked in a row."""
    session = shown.session
    return rack_view(kept_rack(session.history), session.past)


def instrument(shown: Shown) -> View:
    """One instrument's page."""
    from logic.app.routing.record_screens import found_instrument, with_record

    session = shown.session
    page = instrument_view(
        found_instrument(session), session.past, session.wording, session.transient.saved
    )
    return with_record(page, shown)


def strings(shown: Shown) -> View:
    """Tuning and gauges of one instrument."""
    session, here = shown.session, instrument_here(shown.session)
    at = session.place.string if session.place.string in walk_order(here) else None
    page = strings_view(session.place.instrument, here, at, session.wording, session.trade)
    said = session.transient.refused or session.transient.follows
    return (
        strings_of_visit(page, session.work, said)
        if session.route.in_job
        else replace(page, said=said)
    )


def nut(shown: Shown) -> View:
    """How the nut of one instrument holds its strings."""
    session = shown.session
    here = instrument_here(session)
    return nut_view(session.place.instrument, here, session.trade, session.wording)


def name(shown: Shown) -> View:
    """The label and the owner's tag of one instrument; in a visit its ticket too."""
    session, here = shown.session, instrument_here(shown.session)
    in_job = session.route.in_job
    name = (session.work.document.instrument_id or "") if in_job else session.place.instrument
    page = name_view(name, here, others_of(here.owner, name, session.history))
    return name_of_visit(page, session.work) if in_job else page
