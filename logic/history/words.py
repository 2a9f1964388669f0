"""Finding instruments by the beginnings of words, without looking at every one."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Mapping
from typing import Any

Line = dict[str, Any]
_AFTER_ALL = "\U0010ffff"


class WordIndex:
    """Every word of every instrument's label, kind and owner's tag, in order of the alphabet.

    Made at the first search, so that a start costs nothing, and kept up to date from then on.
    """

    def __init__(self) -> None:
        self._words: list[tuple[str, str]] = []
        self._order: list[tuple[str, str]] = []
        self._said: dict[str, tuple[str, frozenset[str]]] = {}
        self._made = False

    def note(self, name: str, line: Line | None) -> None:
        """Take note of a changed instrument; None when it is no more."""
        if not self._made:
            return
        self._forget(name)
        if line is not None:
            title, words = _said(line)
            self._said[name] = (title, words)
            insort(self._order, (title, name))
            for word in words:
                insort(self._words, (word, name))

    def find(self, text: str, lines: Mapping[str, Line]) -> list[str]:
        """Names of the instruments that have, for each word of `text`, one that begins like it;
        by label, those without one by kind. No text: all."""
        self._make(lines)
        asked = text.casefold().replace("-", " ").split()
        if not asked:
            return [name for _, name in self._order]
        found = set.intersection(*(set(self._beginning(word)) for word in asked))
        return [name for _, name in sorted((self._said[name][0], name) for name in found)]

    def _beginning(self, start: str) -> Iterator[str]:
        first = bisect_left(self._words, (start, ""))
        last = bisect_left(self._words, (start + _AFTER_ALL, ""))
        return (name for _, name in self._words[first:last])

    def _make(self, lines: Mapping[str, Line]) -> None:
        if self._made:
            return
        self._made = True
        self._said = {name: _said(line) for name, line in lines.items()}
        self._order = sorted((title, name) for name, (title, _) in self._said.items())
        self._words = sorted((w, name) for name, (_, words) in self._said.items() for w in words)

    def _forget(self, name: str) -> None:
        if name not in self._said:
            return
        title, words = self._said.pop(name)
        del self._order[bisect_left(self._order, (title, name))]
        for word in words:
            del self._words[bisect_left(self._words, (word, name))]


def _said(line: Line) -> tuple[str, frozenset[str]]:
    """What an instrument is sorted by, and the words that find it."""
    label, kind, owner = line["label"], line["kind"], line.get("owner", "")
    words = f"{label} {kind} {owner}".casefold().replace("-", " ").split()
    return (label or kind).casefold(), frozenset(words)
