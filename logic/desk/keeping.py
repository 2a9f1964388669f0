"""Where the records are, how many there are, and how to carry them."""

from __future__ import annotations

from logic.desk.views import RecordsView
from logic.history.history import History


def records_view(
    history: History,
    storage: tuple[str, ...],
    *,
    note: str,
    can_install: bool,
    update_ready: bool,
) -> RecordsView:
    """The state of this device's history in words."""
    vector = history.vector
    own = vector.get(history.device, 0)
    lines = (
        ("Entries on this device", f"{sum(vector.values())}"),
        ("Written here", f"{own}"),
        ("Devices in this history", f"{len(vector)}"),
        ("Jobs", f"{len(history.jobs())}, {len(history.open_jobs())} open"),
        ("Bench", history.bench),
        ("This device", history.device),
    )
    trouble = history.trouble
    warnings = (*storage, *((str(trouble),) if trouble else ()), *history.report.lines())
    return RecordsView(lines, warnings, note, can_install, update_ready)
