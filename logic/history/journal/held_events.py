"""Which events are here, per device: all up to a number, and runs beyond it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from logic.history.journal.runs import Runs
from shared.events import Event


@dataclass
class HeldEvents:
    """The set of (device, seq) that a history holds, small because sequences are dense."""

    upto: dict[str, int] = field(default_factory=dict)
    beyond: dict[str, Runs] = field(default_factory=dict)
    """By device, what is here after the first number that is missing."""

    def __contains__(self, key: tuple[str, int]) -> bool:
        device, seq = key
        return seq <= self.upto.get(device, 0) or seq in self.beyond.get(device, ())

    def add(self, event: Event) -> None:
        """Add `event`, and extend the run from 1 with what now follows on."""
        device, seq = event.device, event.seq
        upto, beyond = self.upto.get(device, 0), self.beyond.get(device)
        if seq <= upto:
            return
        if beyond is None:
            if seq == upto + 1:
                self.upto[device] = seq  # as nearly all do
                return
            beyond = self.beyond[device] = Runs()
        beyond.add(seq, seq)
        if last := beyond.pop_first(upto + 1):
            self.upto[device] = last
            if not beyond:
                del self.beyond[device]

    def highest(self, device: str) -> int:
        """The largest number seen of `device`, whether or not all before it are here."""
        beyond = self.beyond.get(device)
        return beyond.last if beyond else self.upto.get(device, 0)

    def missing(self) -> dict[str, int]:
        """Per device of which any are, how many numbers below its highest are not here."""
        return {
            device: runs.last
            - self.upto.get(device, 0)
            - sum(last - first + 1 for first, last in runs)
            for device, runs in sorted(self.beyond.items())
        }

    @property
    def devices(self) -> set[str]:
        """The devices of which any event is here."""
        return {*self.upto, *self.beyond}

    @property
    def vector(self) -> dict[str, int]:
        """Per device, the number up to which every event is here."""
        return {device: upto for device, upto in sorted(self.upto.items()) if upto}

    def wire(self) -> dict[str, object]:
        """The set as a snapshot keeps it, in JSON."""
        beyond = {device: list(runs) for device, runs in sorted(self.beyond.items())}
        return {"upto": dict(sorted(self.upto.items())), "beyond": beyond}

    @classmethod
    def from_wire(
        cls, upto: Mapping[str, int], beyond: Mapping[str, Iterable[Sequence[int]]]
    ) -> HeldEvents:
        """The set that `wire` wrote."""
        return cls(dict(upto), {device: Runs(runs) for device, runs in beyond.items()})
