"""What is shown where the record itself is looked after.

Nobody at work on an instrument needs these screens: each imports its presenter when it is shown.
"""

from __future__ import annotations

from dataclasses import replace

from logic.app.routing.shown import Shown
from logic.app.session.session import Session
from logic.app.views.instrument_views import InstrumentView
from logic.app.views.views import View
from logic.history.documents.models import InstrumentDocument
from shared.words import say


def found_instrument(session: Session) -> InstrumentDocument:
    """The instrument of the present page; KeyError when it is gone."""
    found = session.history.instrument(session.place.instrument)
    if found is None:
        raise KeyError(session.place.instrument)
    return found


def with_record(page: InstrumentView, shown: Shown) -> InstrumentView:
    """An instrument's page, with where its jobs' entries are and what was promised of them."""
    from logic.app.presenters.erasure import promised
    from logic.app.presenters.hub import job_state
    from logic.app.presenters.two_values import two_values

    history, found = shown.session.history, found_instrument(shown.session)
    agent = shown.hub.agent if shown.hub else None
    return replace(
        page,
        past=tuple(replace(job, state=job_state(agent, history, job.job)) for job in page.past),
        changes=len(list(two_values(found, history))),
        erasing=len(list(promised(found, history))) > 0,
    )


def hub(shown: Shown) -> View:
    """How this device stands with the hub of its bench."""
    from logic.app.presenters.hub import hub_view

    agent = shown.hub.agent if shown.hub else None
    return hub_view(agent, shown.session.history, shown.note, scans=shown.device.scans)


def code(_: Shown) -> View:
    """Where a joining code is typed."""
    from logic.app.presenters.hub import code_view

    return code_view()


def join(shown: Shown) -> View:
    """Whether to join with the code at hand."""
    from logic.app.presenters.hub import join_view

    session, agent = shown.session, shown.hub.agent if shown.hub else None
    address = shown.hub.address if shown.hub else ""
    return join_view(agent, session.history, session.transient.joining_code, address, shown.note)


def leave_hub(_: Shown) -> View:
    """Whether to leave the hub."""
    from logic.app.views.record_views import SureView

    lines = (
        say("This device then meets that bench no more: nothing is sent and nothing comes."),
        say("Everything that is here stays here. To come back, it needs a new code."),
    )
    return SureView("leave", say("Leave this hub?"), lines, say("Leave"))


def health(shown: Shown) -> View:
    """How the storage of this device is."""
    from logic.app.presenters.storage_health import health_view

    pairing = shown.hub.agent.pairing if shown.hub else None
    joined = f"{pairing.bench_name}, {pairing.address}" if pairing else ""
    return health_view(shown.session.history, shown.device.storage_facts, joined, shown.note)


def install(shown: Shown) -> View:
    """How the app is put on this device by its browser's share menu."""
    from logic.app.presenters.install import install_view

    return install_view(shown.session.history, shown.note)


def promised(shown: Shown) -> View:
    """What is promised to be gone."""
    from logic.app.presenters.promised import promised_view

    return promised_view(shown.session.history, shown.note)


def erasure(shown: Shown) -> View:
    """What can be erased about an instrument."""
    from logic.app.presenters.erasure import erasure_view

    session = shown.session
    return erasure_view(found_instrument(session), session.history, session.trade)


def erase(shown: Shown) -> View:
    """Whether to erase what was asked about."""
    from logic.app.presenters.erasure import sure_to_erase

    session = shown.session
    return sure_to_erase(session.transient.to_erase, session.history, session.trade)


def changes(shown: Shown) -> View:
    """What two devices wrote differently about an instrument."""
    from logic.app.presenters.two_values import changes_view

    session = shown.session
    return changes_view(found_instrument(session), session.history, session.trade, session.wording)
