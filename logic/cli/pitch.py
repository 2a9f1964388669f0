"""Prints how sharp each string is at the first three frets, a fourth and an octave up (frets 1, 2,
3, 5 and 12 on a semitone board) with the open string in tune, at its estimated clearance, or at its
target where it was not read. The model is that of M. B. Anderson and R. G. Beausoleil, J. Acoust.
Soc. Am. 156(1), 683 (2024); figures are guidance."""

from __future__ import annotations

import argparse
import json

from logic.bench.instrument.fret_names import fret_name, octave_name
from logic.bench.plan.pitch_check import StringPitch, string_pitches
from logic.bench.what_if.what_if import what_if
from logic.cli.job_input import add_job, add_json, add_unit, job_of, unit_of
from logic.cli.printing import show
from logic.cli.what_if_flags import add_what_if, changes_of
from logic.trade_loader import load_trade_tables
from shared.instrument import Instrument
from shared.units import FINE_PLACES, Length, Unit
from shared.words import mark, numeral, say, with_mark

_TITLES = (mark("saddle at the scale length"), mark("saddle set at fret {fret}"))
_EXPLAINED = (
    mark(
        "Clearance over fret 1 (* not read: at its target), tension, κ, and cents sharp by fret "
        "with\nthe open string in tune. A saddle set back for intonation brings the second set of "
        "figures."
    ),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """A job, a unit for the table, or JSON instead, and what might be different."""
    add_job(parser)
    add_unit(parser, FINE_PLACES)
    add_json(parser)
    add_what_if(parser)


def run(options: argparse.Namespace) -> int:
    """Prints the cents; InputError when the job cannot be used."""
    trade = load_trade_tables()
    job, _ = job_of(options)
    job = what_if(job, changes_of(options, trade), trade)
    pitches = string_pitches(job, trade)
    if options.json:
        print(json.dumps(as_json(pitches), ensure_ascii=False, indent=2))
    else:
        show(as_table(pitches, job.instrument, unit_of(options)))
    return 0


def as_json(pitches: tuple[StringPitch, ...]) -> dict[str, object]:
    """One object, millimetres, newtons and cents."""
    strings = [
        {
            "string": one.string,
            "clearance_mm": round(one.clearance_mm, 4),
            "measured": one.measured,
            "tension_n": round(one.wire.tension_n, 1),
            "kappa": round(one.wire.kappa, 1),
            "cents": _by_fret(one.cents),
            "cents_saddle_set": _by_fret(one.cents_saddle_set),
            "cents_per_thou": round(one.cents_per_thou, 2),
        }
        for one in pitches
    ]
    return {"format": "nutwright.pitch", "version": 1, "strings": strings}


def _by_fret(cents: dict[int, float]) -> dict[str, float]:
    return {str(fret): round(value, 1) + 0.0 for fret, value in cents.items()}


def as_table(pitches: tuple[StringPitch, ...], instrument: Instrument, unit: Unit) -> str:
    """One row a string, as a technician reads it."""
    there = sorted({fret for one in pitches for fret in one.cents})
    frets = "".join(f"{fret_name(instrument.fretboard, fret):>6}" for fret in there)
    facts = f"{say('string'):<10}{say('pitch'):<6}{unit:>6} {'N':>7}{'κ':>6}"
    over = " " * len(facts) + "".join(
        f"{say(title, fret=octave_name(instrument.fretboard)):>{len(frets)}}" for title in _TITLES
    )
    head = facts + frets + frets
    rows = [_row(one, there, instrument, unit) for one in pitches]
    notes = [f"{instrument.name_of(one.string)}: {one.note}" for one in pitches if one.note]
    return "\n".join((over, head, "─" * len(head), *rows, "", *map(say, _EXPLAINED), *notes))


def _row(one: StringPitch, frets: list[int], instrument: Instrument, unit: Unit) -> str:
    clearance = with_mark(Length.of(one.clearance_mm).number(unit, places=FINE_PLACES[unit]))
    read = clearance + (" " if one.measured else "*")
    both = (one.cents, one.cents_saddle_set)
    cents = "".join(
        numeral(round(by[fret], 1) + 0.0, ">6.1f") if fret in by else f"{'–':>6}"
        for by in both
        for fret in frets
    )
    tension = numeral(one.wire.tension_n, ">7.1f")
    name, pitch = instrument.name_of(one.string), instrument.spec(one.string).pitch.show()
    return f"{name:<10}{pitch:<6}{read:>7}{tension}{one.wire.kappa:>6.0f}{cents}"
