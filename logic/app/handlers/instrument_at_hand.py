"""The instrument that is spoken of, in a job or on its own page, and how a change of it is kept."""

from __future__ import annotations

from typing import Any

from logic.app.session.actions import Entry
from logic.app.session.session import Session
from shared.events import Kind
from shared.instrument import Instrument


def instrument_here(session: Session) -> Instrument:
    """Of the job at hand as it came in, else as it is on record. KeyError when it is gone."""
    return session.work.job.instrument if session.route.in_job else session.instrument


def keep_instrument(session: Session, changed: Instrument, *beside: Entry) -> None:
    """Keep a change, and what goes with it, as one; what changes nothing is not kept."""
    now = instrument_here(session)
    entries = entries_of(session, changed) if changed != now else ()
    if entries or beside:
        session.keep(*entries, *beside)


def entries_of(session: Session, changed: Instrument) -> tuple[Entry, ...]:
    """A change as entries: in a job it is the visit's, and its instrument's from now on."""
    if not session.route.in_job:
        saved = {"instrument": session.place.instrument, "value": changed}
        return ((Kind.INSTRUMENT_SAVED, saved),)
    work = session.work
    body = {"job": work.id, "field": "instrument", "value": changed}
    found = session.history.instrument(work.document.instrument_id or "")
    if found is None:
        return ((Kind.JOB_CHANGED, body),)
    later = found.value.model_copy(update=_differences(work.job.instrument, changed))
    if later == found.value:
        return ((Kind.JOB_CHANGED, body),)
    saved = {"instrument": found.id, "value": later}
    return ((Kind.JOB_CHANGED, body), (Kind.INSTRUMENT_SAVED, saved))


def _differences(before: Instrument, after: Instrument) -> dict[str, Any]:
    """The fields that a change gave another value: what else the visit came in with stays its own,
    such as a relief that is to be measured anew."""
    names = (*Instrument.model_fields, *(after.model_extra or {}))
    return {
        name: getattr(after, name)
        for name in names
        if getattr(after, name) != getattr(before, name, None)
    }
