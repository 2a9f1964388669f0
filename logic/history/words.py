"""Finding instruments by the beginnings of words, without looking at every one."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Mapping
from typing import Any

Line = dict[str, Any]
_AFTER_ALL = "\U0010ffff"


class WordIndex:
    """Every word of every instrument's label, kind and owner's tag, in order of the alphabet.

    The order by label is made when a list is first wanted and the words at the first search, so
    that a start costs nothing; both are kept up to date from then on.
    """

    def __init__(self) -> None:
        self._titles: dict[str, str] | None = None
        self._order: list[tuple[str, str]] = []
        self._words_of: dict[str, frozenset[str]] | None = None
        self._words: list[tuple[str, str]] = []

    def note(self, name: str, line: Line | None) -> None:
        """Take note of a changed instrument; None when it is no more."""
        if self._titles is not None:
            self._note_title(self._titles, name, line)
        if self._words_of is not None:
            self._note_words(self._words_of, name, line)

    def find(self, text: str, lines: Mapping[str, Line]) -> list[str]:
        """Names of the instruments among `lines`, which is all there are, that have for each word
        of `text` one that begins like it; by label, those without one by kind. No text: all."""
        if self._titles is None:
            self._titles = {name: _title(line) for name, line in lines.items()}
            self._order = sorted((title, name) for name, title in self._titles.items())
        asked = _split(text)
        if not asked:
            return [name for _, name in self._order]
        if self._words_of is None:
            self._words_of = {name: _words(line) for name, line in lines.items()}
            self._words = sorted((w, name) for name, own in self._words_of.items() for w in own)
        found = set.intersection(*(set(self._beginning(word)) for word in asked))
        return [name for _, name in self._order if name in found]

    def _beginning(self, start: str) -> Iterator[str]:
        first = bisect_left(self._words, (start, ""))
        last = bisect_left(self._words, (start + _AFTER_ALL, ""))
        return (name for _, name in self._words[first:last])

    def _note_title(self, titles: dict[str, str], name: str, line: Line | None) -> None:
        if name in titles:
            del self._order[bisect_left(self._order, (titles.pop(name), name))]
        if line is not None:
            titles[name] = _title(line)
            insort(self._order, (titles[name], name))

    def _note_words(
        self, words_of: dict[str, frozenset[str]], name: str, line: Line | None
    ) -> None:
        for word in words_of.pop(name, ()):
            del self._words[bisect_left(self._words, (word, name))]
        if line is not None:
            words_of[name] = _words(line)
            for word in words_of[name]:
                insort(self._words, (word, name))


def _title(line: Line) -> str:
    """What an instrument is sorted by."""
    return str(line["label"] or line["kind"]).casefold()


def _words(line: Line) -> frozenset[str]:
    """The words that find an instrument."""
    return frozenset(_split(f"{line['label']} {line['kind']} {line.get('owner', '')}"))


def _split(text: str) -> list[str]:
    return text.casefold().replace("-", " ").split()
