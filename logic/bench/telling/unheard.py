"""Words that nobody here understands in a sentence of which something else was understood."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import groupby

from logic.bench.telling.strings_named import Named
from logic.bench.telling.vocabulary import NEUTRAL, Found
from logic.bench.telling.words import Word

SMALL_TALK = frozenset({"courtesy", "time"})
"""Meanings that are no news of the instrument."""
MOST_UNHEARD = 2
"""Words in a row that may pass unheard: with more of them somebody told something."""


def unheard(
    words: Sequence[Word],
    found: Iterable[Found],
    named: Iterable[Named],
    common: Collection[str],
) -> Iterator[str | None]:
    """Of each word itself where it means nothing here, empty where it never says anything by
    itself, None where it was understood."""
    known = {place for one in named for place in range(one.start, one.end)}
    small: set[int] = set()
    for one in found:
        talk = one.meaning in SMALL_TALK or one.meaning == NEUTRAL
        (small if talk else known).update(range(one.start, one.end))
    for place, word in enumerate(words):
        if place in known:
            yield None
        else:
            says_little = place in small or word.folded in common or len(word.folded) == 1
            yield "" if says_little or word.folded.isdecimal() else word.written


def longest_unheard(each: Iterable[str | None]) -> str:
    """The longest row of words that were not understood, without the small ones between them;
    empty where no row is long."""
    rows = (tuple(filter(None, row)) for heard, row in groupby(each, _is_heard) if not heard)
    longest = max(rows, key=len, default=())
    return " ".join(longest) if len(longest) > MOST_UNHEARD else ""


def _is_heard(word: str | None) -> bool:
    return word is None
