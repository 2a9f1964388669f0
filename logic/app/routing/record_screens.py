"""What the rooms show in which the record is looked after."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from logic.app.presenters.erasure import erasure_view, promised, sure_to_erase
from logic.app.presenters.hub import code_view, hub_view, job_state, join_view
from logic.app.presenters.install import install_view
from logic.app.presenters.storage_health import health_view
from logic.app.presenters.two_values import changes_view, two_values
from logic.app.views.instrument_views import InstrumentView
from logic.app.views.record_views import SureView
from logic.history.documents.models import InstrumentDocument
from shared.words import say

if TYPE_CHECKING:
    from logic.app.app import App
    from logic.app.views.views import View


def with_standing(view: InstrumentView, app: App) -> InstrumentView:
    """An instrument's page, with where its jobs' entries are and what was promised of them."""
    history, found = app.history, _found(app)
    past = tuple(replace(job, state=job_state(app.agent, history, job.job)) for job in view.past)
    return replace(
        view,
        past=past,
        changes=len(list(two_values(found, history))),
        erasing=len(list(promised(found, history))) > 0,
    )


def _found(app: App) -> InstrumentDocument:
    found = app.history.instrument(app.session.place.instrument)
    assert found is not None  # the desk looks before it shows a page of it
    return found


def _health(app: App) -> View:
    pairing = app.agent.pairing if app.agent else None
    joined = f"{pairing.bench_name}, {pairing.address}" if pairing else ""
    return health_view(app.history, app.device_facts, joined, app.note)


def _join(app: App) -> View:
    return join_view(app.agent, app.history, app.session.code, app.hub_address, app.note)


def _sure(app: App) -> View:
    session = app.session
    if session.place.instrument:
        return sure_to_erase(session.to_erase, app.history, app.trade)
    lines = (
        say("This device then meets that bench no more: nothing is sent and nothing comes."),
        say("Everything that is here stays here. To come back, it needs a new code."),
    )
    return SureView("leave", say("Leave this hub?"), lines, say("Leave"))


KEEPING: dict[str, Callable[[App], View]] = {
    "hub": lambda app: hub_view(app.agent, app.history, app.note, scans=app.scans),
    "code": lambda app: code_view(),
    "join": _join,
    "sure": _sure,
    "health": _health,
    "install": lambda app: install_view(app.history, app.note),
    "erasure": lambda app: erasure_view(_found(app), app.history, app.trade),
    "changes": lambda app: changes_view(_found(app), app.history, app.trade, app.session.wording),
}
