"""Room laid in while there is plenty, so that the last answer still fits when there is none."""

from __future__ import annotations

from logic.history.storage.store import Directory
from shared.events import MAX_EVENT_BYTES

RESERVE = "reserve.txt"
RESERVE_BYTES = 2 * MAX_EVENT_BYTES
_FILLING = b"Room kept for the last entry. Safe to delete.\n"


class Reserve:
    """A file of no meaning, given up when the device is full."""

    def __init__(self, directory: Directory) -> None:
        self._directory = directory
        self.spent = False
        self._laid = False

    def lay_in(self) -> None:
        """Make the reserve if it is not there and the device has room for it twice over."""
        if self._laid:
            return
        if RESERVE in self._directory.names():
            self._laid, self.spent = True, False
            return
        room = self._directory.room()
        if room is not None and room < 2 * RESERVE_BYTES:
            return
        try:
            self._fill()
            self._laid, self.spent = True, False
        except OSError:
            # Still no room, or not opened ahead yet: the next call tries again, and
            # `spent` goes on telling the technician.
            self._directory.delete(RESERVE)

    def release(self) -> bool:
        """Give the room back to the device; whether there was any."""
        if RESERVE not in self._directory.names():
            return False
        self._directory.delete(RESERVE)
        self._laid, self.spent = False, True
        return True

    def _fill(self) -> None:
        store = self._directory.open(RESERVE)
        filling = _FILLING * (RESERVE_BYTES // len(_FILLING))
        store.append(filling)
        store.flush()
