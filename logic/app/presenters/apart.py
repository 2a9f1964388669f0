"""What tells two lines of a list apart that else read alike: tuning, scale, or their order."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import NamedTuple

from shared.instrument import Instrument
from shared.words import say


class Listed(NamedTuple):
    """One line of a list: what it reads as, and what can be looked up where another reads so."""

    reads_as: Hashable
    since: str
    """By which those that are alike in all are put in order."""
    instrument: Callable[[], Instrument | None]


def made_distinct(lines: Sequence[Listed]) -> list[str]:
    """For each line, what to add so that it is like no other; mostly nothing."""
    groups: dict[Hashable, list[int]] = {}
    for place, line in enumerate(lines):
        groups.setdefault(line.reads_as, []).append(place)
    added = [""] * len(lines)
    for places in groups.values():
        if len(places) > 1:
            for place, words in zip(places, _apart([lines[n] for n in places]), strict=True):
                added[place] = words
    return added


def _apart(alike: Sequence[Listed]) -> list[str]:
    """The columns in which these differ, and a number where two differ in none."""
    looked_up = [_columns(line.instrument()) for line in alike]
    differ = [len(set(column)) > 1 for column in zip(*looked_up, strict=True)]
    shown = [
        " · ".join(cell for cell, differs in zip(row, differ, strict=True) if differs and cell)
        for row in looked_up
    ]
    if len(set(shown)) == len(shown):
        return shown
    order = sorted(range(len(alike)), key=lambda place: alike[place].since)
    numbers = {place: say("no. {number}", number=n) for n, place in enumerate(order, start=1)}
    return [" · ".join(_said((words, numbers[place]))) for place, words in enumerate(shown)]


def _said(parts: Iterable[str]) -> Iterable[str]:
    return filter(None, parts)


def _columns(instrument: Instrument | None) -> tuple[str, str]:
    """Tuning from the bass side, and scale."""
    if instrument is None:
        return "", ""
    ordered = sorted(instrument.strings, key=lambda spec: -spec.string)
    return " ".join(spec.pitch.show() for spec in ordered), str(instrument.scale)
