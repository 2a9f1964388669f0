"""Which events are here, per device: all up to a number, and a few beyond it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from shared.events import Event


@dataclass
class HeldEvents:
    """The set of (device, seq) that a history holds, small because sequences are dense."""

    upto: dict[str, int] = field(default_factory=dict)
    beyond: dict[str, set[int]] = field(default_factory=dict)

    def __contains__(self, key: tuple[str, int]) -> bool:
        device, seq = key
        return seq <= self.upto.get(device, 0) or seq in self.beyond.get(device, ())

    def add(self, event: Event) -> None:
        """Add `event`, and extend the run from 1 with what now follows on."""
        if event.seq == self.upto.get(event.device, 0) + 1 and event.device not in self.beyond:
            self.upto[event.device] = event.seq  # as nearly all do
            return
        if (event.device, event.seq) in self:
            return
        beyond = self.beyond.setdefault(event.device, set())
        beyond.add(event.seq)
        upto = self.upto.get(event.device, 0)
        while upto + 1 in beyond:
            upto += 1
            beyond.remove(upto)
        self.upto[event.device] = upto
        if not beyond:
            del self.beyond[event.device]

    def highest(self, device: str) -> int:
        """The largest number seen of `device`, whether or not all before it are here."""
        return max(self.upto.get(device, 0), *self.beyond.get(device, (0,)), 0)

    @property
    def vector(self) -> dict[str, int]:
        """Per device, the number up to which every event is here."""
        return {device: upto for device, upto in sorted(self.upto.items()) if upto}

    def wire(self) -> dict[str, object]:
        """The set as a snapshot keeps it, in JSON."""
        beyond = {device: sorted(seqs) for device, seqs in sorted(self.beyond.items())}
        return {"upto": dict(sorted(self.upto.items())), "beyond": beyond}

    @classmethod
    def from_wire(cls, upto: Mapping[str, int], beyond: Mapping[str, Iterable[int]]) -> HeldEvents:
        """The set that `wire` wrote."""
        return cls(dict(upto), {device: set(seqs) for device, seqs in beyond.items()})
