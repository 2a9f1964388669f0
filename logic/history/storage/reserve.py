"""A reserve of space, made while there is plenty, so that the last answer still fits."""

from __future__ import annotations

from logic.history.storage.store import Directory
from shared.events import MAX_EVENT_BYTES

RESERVE = "reserve.txt"
RESERVE_BYTES = 2 * MAX_EVENT_BYTES
_FILLING = b"Room kept for the last entry. Safe to delete.\n"


class Reserve:
    """A file without meaning, deleted when the device is full."""

    def __init__(self, directory: Directory) -> None:
        self._directory = directory
        self.spent = False
        self._present = False

    def lay_in(self) -> None:
        """Make the reserve if it is not there and the device has space for it twice over."""
        if self._present:
            return
        if RESERVE in self._directory.names():
            self._present, self.spent = True, False
            return
        free_bytes = self._directory.free_bytes()
        if free_bytes is not None and free_bytes < 2 * RESERVE_BYTES:
            return
        try:
            self._fill()
            self._present, self.spent = True, False
        except OSError:
            # Still no space, or not opened ahead yet: the next call tries again, and
            # `spent` goes on warning the technician.
            self._directory.delete(RESERVE)

    def release(self) -> bool:
        """Delete the reserve; whether there was one."""
        if RESERVE not in self._directory.names():
            return False
        self._directory.delete(RESERVE)
        self._present, self.spent = False, True
        return True

    def _fill(self) -> None:
        store = self._directory.open(RESERVE)
        filling = _FILLING * (RESERVE_BYTES // len(_FILLING))
        store.append(filling)
        store.flush()
