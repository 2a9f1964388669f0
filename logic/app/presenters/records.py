"""Where the records are, how many there are, and how to carry them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from logic.app.session.copies import copy_age
from logic.app.views.views import RecordsView
from logic.history.history import History
from logic.history.report import clocks_in_words, missing_entries
from shared.words import say

if TYPE_CHECKING:
    from logic.app.session.device import InstallState
    from logic.sync.agent import SyncAgent

MOST_DEVICES = 8


def records_view(
    history: History,
    storage: tuple[str, ...],
    *,
    note: str,
    agent: SyncAgent | None = None,
    standing: InstallState,
) -> RecordsView:
    """The state of this device's history in words."""
    vector = history.vector
    own, unfinished = vector.get(history.device, 0), len(history.open_jobs())
    lines = (
        (say("Entries on this device"), f"{sum(vector.values())}"),
        (say("Written here"), f"{own}"),
        (say("Devices in this history"), f"{len(vector)}"),
        (say("Jobs"), say("{count}, {open} open", count=len(history.jobs()), open=unfinished)),
        (say("Last copy"), copy_age(history)),
        (say("Bench"), history.bench),
        (say("This device"), history.device),
    )
    trouble = history.trouble
    clocks = clocks_in_words(history.clocks_ahead())
    warnings = (
        *storage,
        *((str(trouble),) if trouble else ()),
        *history.report.new_lines(),
        *filter(None, [missing_entries(history.journal.held.missing())]),
        *clocks,
    )
    pairing = agent.pairing if agent else None
    hub = say("This bench's hub")
    if agent and pairing:
        from logic.app.presenters.hub import as_reader, short_state  # there since the agent is

        hub = say(
            "Hub: {state}",
            state=short_state(as_reader(agent.status, pairing), len(pairing.refused)),
        )
    return RecordsView(
        (*lines, *_came_by_file(pairing.via if pairing else {})),
        warnings,
        note,
        hub,
        can_install=standing.can_install,
        shows_install=standing.by_share_menu,
        update_ready=standing.update_ready,
        refused=standing.refused,
        promised=_promised(history),
    )


def _promised(history: History) -> str:
    if not history.promised():
        return ""
    from logic.app.presenters.promised import promised_in_words  # wanted seldom

    return promised_in_words(history)


def _came_by_file(via: Mapping[str, str]) -> Iterable[tuple[str, str]]:
    """Devices for whose entries nobody's key vouches, and who brought them to the hub."""
    for device, brought_by in sorted(via.items())[:MOST_DEVICES]:
        name = say("Device …{name}", name=device[-4:])
        yield name, say("came by file via {device}", device=brought_by)
