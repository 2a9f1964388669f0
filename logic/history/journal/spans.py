"""A set of event numbers, as runs per device: what a device or a hub holds.

Two sides need to send each other nothing else to find out what has to travel: what one holds and
the other does not. No clock and no cursor takes part, so nothing can be skipped.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from logic.history.journal.held_events import HeldEvents

Span = tuple[int, int]
"""First and last number of a run, both in it."""


class Run(NamedTuple):
    """One run of one device."""

    device: str
    first: int
    last: int


class Spans:
    """A set of (device, number), kept as sorted runs that neither touch nor overlap."""

    def __init__(self, runs: Mapping[str, Iterable[Sequence[int]]] | None = None) -> None:
        self._runs: dict[str, list[Span]] = {}
        for device, spans in (runs or {}).items():
            for first, last in spans:
                if first <= last:
                    self.add(device, first, last)

    @classmethod
    def of_held(cls, held: HeldEvents) -> Spans:
        """The set that a history holds."""
        spans = cls({device: [(1, upto)] for device, upto in held.upto.items() if upto})
        for device, beyond in held.beyond.items():
            spans.update(cls.of_numbers((device, seq) for seq in beyond))
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
        if not runs or seq > runs[-1][1]:
            return False
        at = bisect_right(runs, (seq, float("inf"))) - 1
        return at >= 0 and runs[at][1] >= seq

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
        runs = self._runs.setdefault(device, [])
        if not runs or first > runs[-1][1] + 1:
            runs.append((first, last))
            return
        low = bisect_right(runs, (first, 0))
        if low and runs[low - 1][1] >= first - 1:
            low -= 1
        high = low
        while high < len(runs) and runs[high][0] <= last + 1:
            first, last = min(first, runs[high][0]), max(last, runs[high][1])
            high += 1
        runs[low:high] = [(first, last)]

    def discard_device(self, device: str) -> None:
        """Remove every number of a device."""
        self._runs.pop(device, None)

    def update(self, other: Spans) -> None:
        """Add all that `other` holds."""
        for device, first, last in other:
            self.add(device, first, last)

    def upto(self, device: str) -> int:
        """The number up to which nothing is missing."""
        runs = self._runs.get(device)
        return runs[0][1] if runs and runs[0][0] == 1 else 0

    def vector(self) -> dict[str, int]:
        """Per device, the number up to which nothing is missing."""
        return {device: upto for device in sorted(self._runs) if (upto := self.upto(device))}

    def of_device(self, device: str) -> list[Span]:
        """The runs of one device."""
        return list(self._runs.get(device, []))

    def difference(self, other: Spans) -> Iterator[Run]:
        """The runs that are here and not in `other`, in time that grows with the runs of both."""
        for device in sorted(self._runs):
            theirs = other._runs.get(device, [])
            at = 0
            for first, last in self._runs[device]:
                while at < len(theirs) and theirs[at][1] < first:
                    at += 1
                yield from (Run(device, *gap) for gap in _gaps(first, last, theirs, at))

    def intersection(self, other: Spans) -> Iterator[Run]:
        """The runs that are in both."""
        for device, first, last in self:
            theirs = other._runs.get(device, [])
            at = max(0, bisect_right(theirs, (first, 0)) - 1)
            while at < len(theirs) and theirs[at][0] <= last:
                if theirs[at][1] >= first:
                    yield Run(device, max(first, theirs[at][0]), min(last, theirs[at][1]))
                at += 1

    def wire(self) -> dict[str, list[Span]]:
        """The set as a message holds it, in JSON: per device, [[first, last], …]."""
        return {device: list(runs) for device, runs in sorted(self._runs.items()) if runs}


def _gaps(first: int, last: int, held: list[Span], at: int) -> Iterator[Span]:
    """What `held`, from its run number `at` on, leaves of the numbers from `first` to `last`."""
    while at < len(held) and held[at][0] <= last:
        if held[at][0] > first:
            yield first, held[at][0] - 1
        first = held[at][1] + 1
        at += 1
    if first <= last:
        yield first, last
