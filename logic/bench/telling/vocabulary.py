"""Finds the meanings of a table of tellings in a row of words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from logic.bench.telling.words import Word, fold, prepared, words_in

if TYPE_CHECKING:
    from logic.bench.tables.tellings import TellingTable

NEGATION, NO_NEGATION, FINE = "*not", "*not denied", "*fine"
PART, JOIN, ONLY, EXCEPT, BEHIND, NOR = ("*part", "*join", "*only", "*except", "*behind", "*nor")
NEUTRAL = "*neutral"
"""Meanings that the small words have."""
LONGEST_PHRASE = 8
"""Words; no entry has more."""
GAP = "~"
"""In an entry: fillers may stand here."""
LONGEST_GAP = 3
"""Words; so many fillers at most."""


@dataclass(frozen=True)
class Found:
    """A meaning at some words: from `start` up to `end`."""

    meaning: str
    start: int
    end: int


class Vocabulary:
    """Every entry of the table, by its first word."""

    def __init__(self, table: TellingTable) -> None:
        """KeyError for a fault or happening without words."""
        self.table = table
        self.strings = table.strings
        self._fillers = frozenset(map(fold, table.fillers))
        self.common = self._fillers | frozenset(map(fold, table.common))
        self._whole: dict[str, list[tuple[tuple[str, ...], str]]] = defaultdict(list)
        self._stems: dict[str, list[tuple[tuple[str, ...], str]]] = defaultdict(list)
        for meaning, entries in table.meanings.items():
            self._add(meaning, entries)
        small = (table.negations, table.not_negations, table.fine, table.parts, table.joins)
        for meaning, entries in zip((NEGATION, NO_NEGATION, FINE, PART, JOIN), small, strict=True):
            self._add(meaning, entries)
        self._add(ONLY, table.only)
        self._add(EXCEPT, table.excepting)
        self._add(BEHIND, table.denials_behind)
        self._add(NOR, table.nor)
        self._add(NEUTRAL, table.neutral)

    def _add(self, meaning: str, entries: Iterable[str]) -> None:
        for entry in entries:
            patterns = tuple(_pattern(part) for part in prepared(entry).replace("-", " ").split())
            first = patterns[0]
            held = self._stems if first.endswith("*") else self._whole
            held[first.rstrip("*")].append((patterns, meaning))

    def words(self, text: str) -> tuple[Word, ...]:
        """The words of `text`."""
        return words_in(text, self.strings.compounds)

    def find(self, words: Sequence[Word], named: Iterable[tuple[int, int]] = ()) -> list[Found]:
        """Every meaning in the words, in order. One that lies inside a longer one, or inside the
        name of a string (`named`: from, up to), is not meant."""
        found = [one for start in range(len(words)) for one in self._at(words, start)]
        ends: dict[int, int] = dict(named)
        for one in found:
            ends[one.start] = max(one.end, ends.get(one.start, 0))
        return [one for one in found if not self._hidden(one, ends)]

    def _hidden(self, one: Found, ends: dict[int, int]) -> bool:
        """Whether a longer phrase covers it; `ends` is where the longest ends that starts there."""
        starts = range(max(one.start - LONGEST_PHRASE, 0), one.start + 1)
        covers = ((start, ends.get(start, 0)) for start in starts)
        length = one.end - one.start
        return any(one.end <= end and length < end - start for start, end in covers)

    def _at(self, words: Sequence[Word], start: int) -> Iterator[Found]:
        word = words[start].folded
        entries = list(self._whole.get(word, ()))
        for length in range(1, len(word) + 1):
            entries += self._stems.get(word[:length], ())
        for patterns, meaning in entries:
            end = self._end(words, start + 1, patterns[1:])
            if end is not None:
                yield Found(meaning, start, end)

    def _end(self, words: Sequence[Word], place: int, patterns: tuple[str, ...]) -> int | None:
        """Where the words that fit these patterns from `place` on end; None where they do not."""
        if not patterns:
            return place
        first, rest = patterns[0], patterns[1:]
        if first == GAP:
            ends = (self._end(words, each, rest) for each in self._behind_fillers(words, place))
            return next((end for end in ends if end is not None), None)
        fits = place < len(words) and _fits(words[place], first)
        return self._end(words, place + 1, rest) if fits else None

    def _behind_fillers(self, words: Sequence[Word], place: int) -> Iterator[int]:
        """The places that a gap at `place` can lead to, the nearest first."""
        yield place
        for word in words[place : place + LONGEST_GAP]:
            if word.folded not in self._fillers and not word.folded.isdecimal():
                return
            place += 1
            yield place


def _fits(word: Word, pattern: str) -> bool:
    if pattern.endswith("*"):
        return word.folded.startswith(pattern[:-1])
    return word.folded == pattern


def _pattern(part: str) -> str:
    return fold(part.rstrip("*")) + ("*" if part.endswith("*") else "")


@lru_cache(maxsize=4)
def vocabulary_of(table: TellingTable) -> Vocabulary:
    """The vocabulary of a table, made once."""
    return Vocabulary(table)
