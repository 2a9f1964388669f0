"""Strings by the name that people call them."""

from __future__ import annotations

from collections.abc import Iterator

from logic.bench.tables.trade_tables import TradeTables
from logic.bench.telling.strings_named import strings_named
from logic.bench.telling.vocabulary import Vocabulary, vocabulary_of
from logic.bench.telling.words import fold, prepared
from shared.instrument import Instrument

LONGEST_NAME = 40


def strings_called(name: str, instrument: Instrument, trade: TradeTables) -> tuple[int, ...]:
    """The strings that a name means, where the whole of it is their name: "G", "low E", "third
    string", or without that word "5th", "thinnest", "A". Empty where it is none, or a number, which
    readings use too."""
    if len(name) > LONGEST_NAME or name.strip().isdecimal():
        return ()
    vocabulary = vocabulary_of(trade.tellings)
    ways = (vocabulary.words(prepared(way)) for way in _ways_to_say(name, vocabulary))
    for words in ways:
        named = strings_named(words, instrument, vocabulary.strings)
        if len(named) == 1 and (named[0].start, named[0].end) == (0, len(words)):
            return tuple(sorted(named[0].strings))
    return ()


def _ways_to_say(name: str, vocabulary: Vocabulary) -> Iterator[str]:
    """A name as it is, and with what it leaves out, so that a lone A is no article. A lone small
    letter is the highest string of that name, as the last of EADGBe is."""
    first, _, rest = name.strip().partition(" ")
    if rest and fold(first) in map(fold, vocabulary.strings.pointers):
        name = rest
    name = name.strip()
    if len(name) == 1 and name.islower():
        yield f"high {name.upper()} string"
    large = name if name[1:2].isalpha() else name[:1].upper() + name[1:]
    yield from (name, large, f"{large} string", f"{large} strings")
