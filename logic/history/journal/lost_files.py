"""Which files of a journal are lost, by what those that are here say of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import islice

from logic.history.journal.segment import Contents
from shared.events import Kind

MOST_COUNTED = 1000
"""Lost files are counted up to this many: a file whose name holds an absurd number costs no more
than that (a journal of years has a few hundred files; common practice, no source)."""


class LostFiles:
    """Looks at the files of a journal, oldest first.

    Files are numbered without a gap, and one is closed only once the next is there. A journal that
    was written anew begins with a later number, which its headers name; those of older versions do
    not, and then erased entries or a branch that gave way show that it was.
    """

    def __init__(self, present: Sequence[int] = (), past: int = 0, *, changed: bool = True) -> None:
        """`present`: the numbers of the files that are here, in order, all after `past`. `changed`:
        whether they may be others than an opening found before; if not, the first that is here is
        the first of the journal."""
        self._present = tuple(present)
        self._past = past
        self._changed = changed
        self._begins_by: dict[int, int] = {}
        self._named = False
        """Whether a header names the first file."""
        self._redacted = False
        self._ends_closed = False
        self.begins = 1
        """Number of the first file that belongs to the journal, as the last header has it."""

    def look_at(self, contents: Contents) -> None:
        """Note what one file says of others."""
        number = contents.segment.number
        if contents.header:
            self.begins = self._begins_by[number] = contents.begins
            self._named = self._named or contents.begins > 1
        self._redacted = self._redacted or any(e.kind == Kind.REDACTED for e in contents.events)
        self._ends_closed = contents.segment.closed

    def numbers(self, gave_way: Callable[[], bool]) -> frozenset[int]:
        """The numbers of lost files. `gave_way`: whether a branch of events once gave way here,
        asked only where nothing else tells whether the journal was written anew."""
        return frozenset(islice(self._lost(gave_way), MOST_COUNTED))

    def _lost(self, gave_way: Callable[[], bool]) -> Iterator[int]:
        if not self._present:
            return
        if self._ends_closed:
            yield self._present[-1] + 1
        first = self._present[0]
        if first > 1 and (self._named or not self._anew(gave_way)):
            first = 1
        begins = self._present[-1]
        for before, number in reversed(list(zip((0, *self._present), self._present, strict=False))):
            begins = min(begins, self._begins_by.get(number, begins))
            yield from range(max(before + 1, begins, first, self._past + 1), number)

    def _anew(self, gave_way: Callable[[], bool]) -> bool:
        """Whether a journal whose headers do not say so was written anew."""
        return not self._changed or self._redacted or gave_way()
