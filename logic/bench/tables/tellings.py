"""The words that people tell a fault in, by what they mean: `assets/tellings.json`."""

from __future__ import annotations

from shared.table import Row, Table

Words = tuple[str, ...]
"""Words side by side in one entry; a word that ends in * is a stem, a ~ up to three fillers."""


class StringWords(Row):
    """How strings are spoken of."""

    string: Words
    compounds: Words
    """What a word can end in that names a string: G-Saite, Bassaite."""
    lowest: Words
    highest: Words
    wound: Words
    plain: Words
    pointers: Words
    """Words in front of a lone letter that make it a string's name: on the G."""
    no_string_after: Words
    """Words behind a letter that make it a chord, a key or a tuning."""
    no_string_before: Words
    """Words in front of a letter that make it a note: tuned to D."""
    everything: Words
    others: Words
    numbers: dict[str, int]
    """Ordinals, by the number of the string."""


class TellingTable(Table):
    """Meanings with their words, and the small words that turn a meaning round."""

    meanings: dict[str, Words]
    faults: Words
    """Meanings that say that something is wrong."""
    happenings: Words
    """Meanings that say what happened, or what is wanted."""
    negations: Words
    nor: Words
    """Words that carry a denial on: neither stiff nor sharp."""
    denials_behind: Words
    """Negations that may stand behind what they deny: schnarrt nicht, the buzz is gone."""
    not_negations: Words
    """Phrases that hold a negation and deny nothing."""
    neutral: Words
    """Phrases that tell nothing and hold a word that would: garage floor, weighs a ton."""
    fine: Words
    """Words that say that all is well with what they stand beside."""
    parts: Words
    """Words at which a sentence falls into parts that are told apart."""
    joins: Words
    fillers: Words
    """Small words that may stand inside a phrase where its entry has a ~; so may figures."""
    common: Words
    """Words that are in every telling and say nothing by themselves; fillers are of them too."""
    only: Words
    excepting: Words
    strings: StringWords
