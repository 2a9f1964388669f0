"""The first screen. It stands apart from the others, since the app starts with it and no other."""

from __future__ import annotations

from logic.app.presenters.home import home_view
from logic.app.session.device import DeviceFacts
from logic.app.views.views import View
from logic.history import History
from shared.words import say


def home_screen(
    history: History, device: DeviceFacts, reminder: str, note: str, put_away: str = ""
) -> View:
    """The jobs on the bench; where the browser cleared the records, what can bring them back."""
    if device.records_cleared and not history.vector:
        from logic.app.presenters.storage_health import cleared_view

        return cleared_view(note)
    warnings = tuple(map(say, device.warnings))
    return home_view(history, warnings, reminder, put_away, scans=device.scans)
