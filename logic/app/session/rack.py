"""A rack of instruments that are checked in a row: which wait, and which were checked or passed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from logic.app.session.settings import of_this_device
from logic.history.history import History
from shared.events import Kind
from shared.words import say


@dataclass(frozen=True)
class Rack:
    """Instruments by name; each that is gone with its job, empty where it was passed over."""

    waiting: tuple[str, ...] = ()
    gone: tuple[tuple[str, str], ...] = ()

    @property
    def following(self) -> str:
        """The next instrument; empty at the end."""
        return self.waiting[0] if self.waiting else ""

    @property
    def place(self) -> str:
        """Which of how many is on the bench: "2 of 5"; empty where there is no rack."""
        count = len(self.waiting) + len(self.gone)
        return say("{place} of {count}", place=len(self.gone), count=count) if count else ""

    def around(self, job: str) -> Rack:
        """The rack that `job` is part of: this one, or none."""
        return self if any(job == checked for _, checked in self.gone) else Rack()

    def moved_on(self, job: str) -> Rack:
        """With the next instrument gone to `job`, or passed over where that is empty."""
        return Rack(self.waiting[1:], (*self.gone, (self.following, job)))


def kept_rack(history: History) -> Rack:
    """The rack that this device is at; it outlives a reload."""
    kept = history.setting(_name(history))
    if not isinstance(kept, dict):
        return Rack()
    return Rack(tuple(kept["waiting"]), tuple((one, job) for one, job in kept["gone"]))


def rack_event(history: History, rack: Rack) -> tuple[Kind, dict[str, Any]]:
    """What is recorded of where the rack stands."""
    value = {"waiting": list(rack.waiting), "gone": [list(one) for one in rack.gone]}
    return Kind.SETTING_CHANGED, {"name": _name(history), "value": value}


def _name(history: History) -> str:
    return of_this_device("rack", history)
