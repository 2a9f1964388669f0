"""A set of whole numbers as sorted runs; adding costs the same wherever a number belongs."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from operator import itemgetter

Span = tuple[int, int]
"""First and last number of a run, both in it."""
BLOCK = 256
"""Runs that are kept in one list at least before it is cut in two: adding moves no more than that,
however many runs there are and in whatever order they come."""
_LAST = itemgetter(1)


class Runs:
    """Sorted runs that neither touch nor overlap, in blocks of bounded length."""

    __slots__ = ("_blocks", "_lasts")

    def __init__(self, runs: Iterable[Sequence[int]] = ()) -> None:
        self._blocks: list[list[Span]] = []
        self._lasts: list[int] = []
        """The last number of each block."""
        for first, last in runs:
            self.add(first, last)

    def __contains__(self, number: int) -> bool:
        at = bisect_left(self._lasts, number)
        if at == len(self._lasts):
            return False
        block = self._blocks[at]
        return block[bisect_left(block, number, key=_LAST)][0] <= number

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Runs) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]

    def __bool__(self) -> bool:
        return bool(self._blocks)

    def __iter__(self) -> Iterator[Span]:
        for block in self._blocks:
            yield from block

    @property
    def last(self) -> int:
        """The largest number; 0 where there is none."""
        return self._lasts[-1] if self._lasts else 0

    def overlaps(self, first: int, last: int) -> Iterator[Span]:
        """What is here of the numbers from `first` to `last`, found without a look at the rest."""
        at = bisect_left(self._lasts, first)
        low = bisect_left(self._blocks[at], first, key=_LAST) if at < len(self._blocks) else 0
        for block in islice(self._blocks, at, None):
            for begin, end in islice(block, low, None):
                if begin > last:
                    return
                yield max(first, begin), min(last, end)
            low = 0

    def pop_first(self, number: int) -> int:
        """Take out the run that begins with `number`, if it is the first one; its last number, or
        0 where no such run is the first."""
        if not self._blocks or self._blocks[0][0][0] != number:
            return 0
        _, last = self._blocks[0][0]
        self._drop_from(0, 1)
        return last

    def add(self, first: int, last: int) -> None:
        """Add `first` to `last`, both included."""
        if not self._lasts or first > self._lasts[-1] + 1:
            self._append((first, last))
            return
        at = bisect_left(self._lasts, first - 1)
        block = self._blocks[at]
        low = high = bisect_left(block, first - 1, key=_LAST)
        while high < len(block) and block[high][0] <= last + 1:
            first, last = min(first, block[high][0]), max(last, block[high][1])
            high += 1
        if high == len(block):
            last = self._joined_from(at + 1, last)
        block[low:high] = [(first, last)]
        self._lasts[at] = block[-1][1]
        if len(block) > 2 * BLOCK:
            self._blocks[at : at + 1] = [block[:BLOCK], block[BLOCK:]]
            self._lasts.insert(at, block[BLOCK - 1][1])

    def _append(self, run: Span) -> None:
        if self._blocks and len(self._blocks[-1]) < BLOCK:
            self._blocks[-1].append(run)
            self._lasts[-1] = run[1]
        else:
            self._blocks.append([run])
            self._lasts.append(run[1])

    def _joined_from(self, at: int, last: int) -> int:
        """Take out the runs from block `at` on that a run up to `last` touches; where it ends."""
        while at < len(self._blocks) and self._blocks[at][0][0] <= last + 1:
            block, taken = self._blocks[at], 0
            while taken < len(block) and block[taken][0] <= last + 1:
                last = max(last, block[taken][1])
                taken += 1
            self._drop_from(at, taken)
        return last

    def _drop_from(self, at: int, count: int) -> None:
        """Take the first `count` runs out of block `at`."""
        del self._blocks[at][:count]
        if not self._blocks[at]:
            del self._blocks[at], self._lasts[at]
