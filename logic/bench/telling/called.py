"""Strings by the name that people call them."""

from __future__ import annotations

from logic.bench.tables.trade_tables import TradeTables
from logic.bench.telling.strings_named import strings_named
from logic.bench.telling.vocabulary import vocabulary_of
from logic.bench.telling.words import prepared
from shared.instrument import Instrument

LONGEST_NAME = 40


def strings_called(name: str, instrument: Instrument, trade: TradeTables) -> tuple[int, ...]:
    """The strings that a name means, where the whole of it is their name: "G", "low E", "third
    string". Empty where it is none, or a number, which readings use too."""
    if len(name) > LONGEST_NAME or name.strip().isdecimal():
        return ()
    vocabulary = vocabulary_of(trade.tellings)
    words = vocabulary.words(prepared(name))
    named = strings_named(words, instrument, vocabulary.strings)
    whole = len(named) == 1 and (named[0].start, named[0].end) == (0, len(words))
    return tuple(sorted(named[0].strings)) if whole else ()
