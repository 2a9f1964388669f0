"""Search for instruments by the beginnings of words, without a scan of all of them."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Mapping
from heapq import nsmallest
from itertools import islice
from typing import Any

Line = dict[str, Any]
Title = tuple[str, str]
"""What an instrument is sorted by, and its id."""
_AFTER_ALL = "\U0010ffff"


class WordIndex:
    """Every word of every instrument's label, kind and owner's tag, in order of the alphabet.

    The order by label is made when a list is first wanted and the words at the first search, so
    that a start costs nothing; both are kept up to date from then on.
    """

    def __init__(self) -> None:
        self._order: list[Title] | None = None
        self._names_by_word: dict[str, list[str]] | None = None
        """By word, the names of the instruments that have it."""
        self._words: list[str] = []

    def update(self, name: str, before: Line | None, line: Line | None) -> None:
        """Take note of an instrument that changed from `before` to `line`; None when there was
        none, or is none any more."""
        if self._order is not None:
            if before is not None:
                del self._order[bisect_left(self._order, _sort_title(name, before))]
            if line is not None:
                insort(self._order, _sort_title(name, line))
        if self._names_by_word is not None:
            old, new = _words_of(before), _words_of(line)
            for word in old - new:
                self._names_by_word[word].remove(name)
            for word in new - old:
                self._add(self._names_by_word, word, name)

    def find(
        self, text: str, lines: Mapping[str, Line], first: int, most: int
    ) -> tuple[list[str], int]:
        """Of the instruments among `lines`, which is all there are, those that have for each word
        of `text` one that begins like it; no text: all. Up to `most` names from place `first` on,
        by label, or by kind where there is none; and how many there are."""
        if self._order is None:
            self._order = sorted(_sort_title(name, line) for name, line in lines.items())
        starts = _split(text)
        if not starts:
            return [name for _, name in self._order[first : first + most]], len(self._order)
        found = set.intersection(*(self._names_with_word_starting(word, lines) for word in starts))
        return list(islice(self._in_order(found, lines, first + most), first, None)), len(found)

    def _in_order(self, found: set[str], lines: Mapping[str, Line], upto: int) -> list[str]:
        """The first of `found`: few are put in order, and many come soon in the order of all."""
        order = self._order or []
        if len(found) ** 2 < len(order) * upto:
            return [
                n for _, n in nsmallest(upto, (_sort_title(name, lines[name]) for name in found))
            ]
        return list(islice((name for _, name in order if name in found), upto))

    def _names_with_word_starting(self, start: str, lines: Mapping[str, Line]) -> set[str]:
        """The names of all that have a word which begins so."""
        if self._names_by_word is None:
            self._names_by_word = {}
            for name, line in lines.items():
                for word in _words_of(line):
                    self._names_by_word.setdefault(word, []).append(name)
            self._words = sorted(self._names_by_word)
        first = bisect_left(self._words, start)
        last = bisect_left(self._words, start + _AFTER_ALL)
        return set().union(*map(self._names_by_word.__getitem__, self._words[first:last]))

    def _add(self, named: dict[str, list[str]], word: str, name: str) -> None:
        if word not in named:
            named[word] = []
            insort(self._words, word)
        named[word].append(name)


def _sort_title(name: str, line: Line) -> Title:
    return str(line["label"] or line["kind"]).casefold(), name


def _words_of(line: Line | None) -> frozenset[str]:
    """The words that find an instrument."""
    if line is None:
        return frozenset()
    return frozenset(_split(f"{line['label']} {line['kind']} {line.get('owner', '')}"))


def _split(text: str) -> list[str]:
    return text.casefold().replace("-", " ").split()
