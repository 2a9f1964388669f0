"""How sharp each string of a job is along the neck, at the clearance it is believed to have."""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.instrument.frets import tuner_frets
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.instrument.strung_string import wire_of
from logic.bench.plan.plan import string_state
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import Neck
from logic.physics.strings import Wire
from shared.job import Job
from shared.units import MM_PER_THOU


@dataclass(frozen=True)
class StringPitch:
    """One string's cents by fret at its clearance, and what a thousandth more would add at fret 1.

    `measured` is false where the string was not read and its target is taken.
    """

    string: int
    clearance_mm: float
    measured: bool
    wire: Wire
    cents: dict[int, float]
    """With the saddle at the scale length."""
    cents_saddle_set: dict[int, float]
    """With the saddle moved so that the octave is in tune."""
    cents_per_thou: float
    note: str


def string_pitches(job: Job, trade: TradeTables) -> tuple[StringPitch, ...]:
    """Every string of the job, in its order; InputError where a string cannot be."""
    return tuple(_pitch(job, spec.string, trade) for spec in job.instrument.strings)


def _pitch(job: Job, string: int, trade: TradeTables) -> StringPitch:
    spec = job.instrument.spec(string)
    wire, frets = wire_of(spec, job.instrument, trade), tuner_frets(spec, job.instrument)
    geometry, state = (
        string_geometry(job.instrument, string, trade),
        string_state(job, string, trade),
    )
    clearance = state.believed.median if state.measured else state.window.target_mm
    neck = geometry.standing(clearance)
    tuned = geometry.saddle_set(neck, clearance, wire.spring)

    def cents(on: Neck, at_mm: float, fret: int) -> float:
        return geometry.cents_on(on, at_mm, fret, wire.spring)

    return StringPitch(
        string=string,
        clearance_mm=clearance,
        measured=state.measured,
        wire=wire,
        cents={fret: cents(neck, clearance, fret) for fret in frets},
        cents_saddle_set={fret: cents(tuned, clearance, fret) for fret in frets},
        cents_per_thou=cents(neck, clearance + MM_PER_THOU, 1) - cents(neck, clearance, 1),
        note=state.window.note,
    )
