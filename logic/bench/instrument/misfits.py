"""Strings whose figures are each possible and that cannot lie on one board together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from logic.bench.instrument.strung_string import whole_scale_mm
from shared.amounts import LaidOff
from shared.instrument import Instrument, StringSpec
from shared.units import Length
from shared.words import say


@dataclass(frozen=True)
class Misfit:
    """A field of one string that does not go with the board or with the strings beside it."""

    string: int
    field: str
    found: str
    ask: str


def misfits(instrument: Instrument) -> Iterator[Misfit]:
    """Every string that cannot be where it is said to be."""
    yield from _beyond_the_board(instrument)
    yield from _crossing(instrument)


def _beyond_the_board(instrument: Instrument) -> Iterator[Misfit]:
    """Strings whose own nut would leave them without a fret."""
    last = instrument.last_fret
    for spec in instrument.strings:
        if last is not None and spec.from_fret >= last:
            found = say(
                "no fret is left beyond fret {fret} of {count}", fret=spec.from_fret, count=last
            )
            ask = say("write the fret at which its own small nut stands, or 0 for the common nut")
            yield Misfit(spec.string, "from_fret", found, ask)


def _crossing(instrument: Instrument) -> Iterator[Misfit]:
    """Strings with a scale of their own that would cross a neighbour's: across a fan scales only
    grow, or only shrink."""
    if not any(spec.scale for spec in instrument.strings):
        return
    across = sorted(instrument.strings, key=lambda spec: spec.string)
    lengths = [whole_scale_mm(spec, instrument) for spec in across]
    grows = lengths[-1] >= lengths[0]
    for (_, before), (spec, here) in pairwise(zip(across, lengths, strict=True)):
        if (here < before) if grows else (here > before):
            yield _turned(spec, here)
            return


def _turned(spec: StringSpec, scale_mm: float) -> Misfit:
    length = LaidOff(Length.of(round(scale_mm, 2)))
    return Misfit(
        spec.string,
        "scale",
        say("at {length} it would cross the string beside it", length=length),
        say("write scales that only grow, or only shrink, from the highest string to the lowest"),
    )
