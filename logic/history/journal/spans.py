"""A set of event numbers, as runs per device: what a device or a hub holds.

Two sides need to send each other nothing else to find out what has to travel: what one holds and
the other does not. No clock and no cursor takes part, so nothing can be skipped.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from logic.history.journal.held_events import HeldEvents
from logic.history.journal.runs import Runs, Span


class Run(NamedTuple):
    """One run of one device."""

    device: str
    first: int
    last: int


class Spans:
    """A set of (device, number), kept as sorted runs that neither touch nor overlap."""

    def __init__(self, runs: Mapping[str, Iterable[Sequence[int]]] | None = None) -> None:
        self._runs: dict[str, Runs] = {}
        for device, spans in (runs or {}).items():
            for first, last in spans:
                if first <= last:
                    self.add(device, first, last)

    @classmethod
    def of_held(cls, held: HeldEvents) -> Spans:
        """The set that a history holds."""
        spans = cls({device: [(1, upto)] for device, upto in held.upto.items() if upto})
        for device, beyond in held.beyond.items():
            for first, last in beyond:
                spans.add(device, first, last)
        return spans

    @classmethod
    def of_numbers(cls, numbers: Iterable[tuple[str, int]]) -> Spans:
        """The set of these (device, number), given in any order."""
        spans = cls()
        device, first, last = "", 0, 0
        for name, seq in sorted(numbers):
            if name == device and seq == last + 1:
                last = seq
                continue
            if device:
                spans.add(device, first, last)
            device, first, last = name, seq, seq
        if device:
            spans.add(device, first, last)
        return spans

    def __contains__(self, key: tuple[str, int]) -> bool:
        device, seq = key
        runs = self._runs.get(device)
        return runs is not None and seq in runs

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Spans) and self._runs == other._runs

    __hash__ = None  # type: ignore[assignment]

    def __bool__(self) -> bool:
        return any(self._runs.values())

    def __len__(self) -> int:
        return sum(last - first + 1 for _, first, last in self)

    def __iter__(self) -> Iterator[Run]:
        for device in sorted(self._runs):
            for first, last in self._runs[device]:
                yield Run(device, first, last)

    def add(self, device: str, first: int, last: int | None = None) -> None:
        """Add `first` to `last`, both included. ValueError when that is no run."""
        last = first if last is None else last
        if not 1 <= first <= last:
            raise ValueError(f"{first} to {last} is no run of numbers")
        runs = self._runs.get(device)
        if runs is None:
            runs = self._runs[device] = Runs()
        runs.add(first, last)

    def discard_device(self, device: str) -> None:
        """Remove every number of a device."""
        self._runs.pop(device, None)

    def update(self, other: Spans) -> None:
        """Add all that `other` holds."""
        for device, first, last in other:
            self.add(device, first, last)

    def upto(self, device: str) -> int:
        """The number up to which nothing is missing."""
        first, last = next(iter(self._runs.get(device, ())), (0, 0))
        return last if first == 1 else 0

    def vector(self) -> dict[str, int]:
        """Per device, the number up to which nothing is missing."""
        return {device: upto for device in sorted(self._runs) if (upto := self.upto(device))}

    def of_device(self, device: str) -> list[Span]:
        """The runs of one device."""
        return list(self._runs.get(device, ()))

    def difference(self, other: Spans) -> Iterator[Run]:
        """The runs that are here and not in `other`."""
        for device, first, last in self:
            for begin, end in other._overlaps(device, first, last):
                if begin > first:
                    yield Run(device, first, begin - 1)
                first = end + 1
            if first <= last:
                yield Run(device, first, last)

    def intersection(self, other: Spans) -> Iterator[Run]:
        """The runs that are in both, in time that grows with the runs here and those found."""
        for device, first, last in self:
            for begin, end in other._overlaps(device, first, last):
                yield Run(device, begin, end)

    def _overlaps(self, device: str, first: int, last: int) -> Iterator[Span]:
        runs = self._runs.get(device)
        return iter(()) if runs is None else runs.overlaps(first, last)

    def wire(self) -> dict[str, list[Span]]:
        """The set as a message holds it, in JSON: per device, [[first, last], …]."""
        return {device: list(runs) for device, runs in sorted(self._runs.items()) if runs}
