"""The name that this device writes under, and what goes with it when the name changes."""

from __future__ import annotations

from contextlib import suppress

from logic.history.documents.bodies import device_setting
from logic.history.journal.journal import Writer
from logic.history.operations.recorder import Recorder
from logic.history.operations.state import HistoryState
from shared.errors import HistoryError
from shared.events import Kind


class DeviceNames:
    """Gives this device a new name when numbers under its old one may be given out twice."""

    def __init__(self, state: HistoryState, recorder: Recorder) -> None:
        self._state = state
        self._recorder = recorder

    def rename(self, bench: str) -> None:
        """Write as a device of `bench` under a new name from the next entry on."""
        journal = self._state.journal
        device = self._state.loaded.identity.new_device()
        journal.write_as(Writer(bench, device, journal.writer.epoch + 1))

    def carry_settings_over(self) -> None:
        """Record the settings that this device has for itself under its new name, if it has just
        changed its name and can write."""
        journal = self._state.journal
        before, journal.former_device = journal.former_device, ""
        if not before or journal.trouble():
            return
        queries = self._state.queries
        queries.projection.settle()
        bodies = [
            {"name": mine, "value": value}
            for name in list(self._state.loaded.snapshots.tables["setting"])
            if (own := name.removesuffix(f" {before}")) != name
            and (value := queries.setting(name)) is not None
            and queries.setting(mine := device_setting(own, self._state.device)) is None
        ]
        with suppress(HistoryError):  # the next answer meets the same trouble, and tells of it
            self._recorder.record_all([(Kind.SETTING_CHANGED, body) for body in bodies])
