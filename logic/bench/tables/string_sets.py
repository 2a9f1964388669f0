"""Usual sets of strings and usual tunings: `assets/string_sets.json`."""

from __future__ import annotations

from shared.pitch import Pitch
from shared.table import Figure, Row, Source, Table
from shared.units import Length


class StringSet(Row):
    """A usual set: gauges from string 1, and which of them are wound."""

    name: str
    kinds: tuple[str, ...]
    gauges: tuple[Length, ...]
    wound: tuple[int, ...]


class Tuning(Row):
    """A usual tuning: pitches from string 1."""

    name: str
    kinds: tuple[str, ...]
    pitches: tuple[Pitch, ...]


class StringSetTable(Table):
    """Usual sets and tunings, by kind of instrument, and what strings are made at all."""

    thinnest: Figure[Length]
    thickest: Figure[Length]
    string_below: Figure[int]
    """Semitones, at least, from the lowest string to one that is added below it."""
    sets: tuple[StringSet, ...]
    tunings: tuple[Tuning, ...]
    source: Source
