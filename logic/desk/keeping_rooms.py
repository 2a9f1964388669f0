"""What the rooms show in which the record is looked after."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from logic.desk.erasure import erasure_view, promised, sure_to_erase
from logic.desk.hub import code_view, hub_view, job_state, join_view
from logic.desk.installing import install_view
from logic.desk.instrument_views import InstrumentView
from logic.desk.keeping_views import SureView
from logic.desk.storage_health import health_view
from logic.desk.two_values import changes_view, two_values
from logic.history.documents import InstrumentDocument
from shared.words import say

if TYPE_CHECKING:
    from logic.desk.desk import Desk
    from logic.desk.views import View


def with_standing(view: InstrumentView, desk: Desk) -> InstrumentView:
    """An instrument's page, with where its jobs' entries are and what was promised of them."""
    history, found = desk.history, _found(desk)
    past = tuple(replace(job, state=job_state(desk.agent, history, job.job)) for job in view.past)
    return replace(
        view,
        past=past,
        changes=len(list(two_values(found, history))),
        erasing=len(list(promised(found, history))) > 0,
    )


def _found(desk: Desk) -> InstrumentDocument:
    found = desk.history.instrument(desk.floor.place.instrument)
    assert found is not None  # the desk looks before it shows a page of it
    return found


def _health(desk: Desk) -> View:
    pairing = desk.agent.pairing if desk.agent else None
    joined = f"{pairing.bench_name}, {pairing.address}" if pairing else ""
    return health_view(desk.history, desk.device_facts, joined, desk.note)


def _join(desk: Desk) -> View:
    return join_view(desk.agent, desk.history, desk.floor.code, desk.hub_address, desk.note)


def _sure(desk: Desk) -> View:
    floor = desk.floor
    if floor.place.instrument:
        return sure_to_erase(floor.to_erase, desk.history, desk.trade)
    lines = (
        say("This device then meets that bench no more: nothing is sent and nothing comes."),
        say("Everything that is here stays here. To come back, it needs a new code."),
    )
    return SureView("leave", say("Leave this hub?"), lines, say("Leave"))


KEEPING: dict[str, Callable[[Desk], View]] = {
    "hub": lambda desk: hub_view(desk.agent, desk.history, desk.note, scans=desk.scans),
    "code": lambda desk: code_view(),
    "join": _join,
    "sure": _sure,
    "health": _health,
    "install": lambda desk: install_view(desk.history, desk.note),
    "erasure": lambda desk: erasure_view(_found(desk), desk.history, desk.trade),
    "changes": lambda desk: changes_view(
        _found(desk), desk.history, desk.trade, desk.floor.wording
    ),
}
