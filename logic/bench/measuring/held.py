"""Readings, measurements and steps that are held and not used, and the line that says so of each.

What this version does not understand is never read as if the rest of it stood alone; what needs
frets says nothing of a board that has none.
"""

from __future__ import annotations

from collections.abc import Iterable

from logic.bench.measuring.kinds import kind_of
from shared.instrument import Instrument
from shared.job import Job
from shared.measurements import UnknownMeasurement
from shared.readings import Reading, UnknownReading, held
from shared.setup import UnknownStep
from shared.words import listed, say


def usable(readings: Iterable[Reading], fretted: bool) -> tuple[Reading, ...]:
    """`readings`, those that need frets held where there are none; each stays in its place."""
    if fretted:
        return tuple(readings)
    return tuple(held(r) if kind_of(r).needs_frets else r for r in readings)


def held_in_words(job: Job) -> tuple[str, ...]:
    """A line for each reading, measurement and step of `job` that is held."""
    strings = (_of_string(r, job.instrument) for r in job.readings if isinstance(r, UnknownReading))
    whole = (_of_whole(m) for m in job.measurements if isinstance(m, UnknownMeasurement))
    steps = (_of_step(step) for step in job.steps if isinstance(step, UnknownStep))
    return tuple(dict.fromkeys((*strings, *whole, *steps)))


def _of_string(reading: UnknownReading, instrument: Instrument) -> str:
    known = {spec.string for spec in instrument.strings}
    name = instrument.name_of(reading.string) if reading.string in known else str(reading.string)
    if not reading.unknown:
        return say(
            "String {name}: a reading is held, not used: there is no fret on this board to stop "
            "the string at.",
            name=name,
        )
    return say(
        "String {name}: a reading is held, not used: {fields} is nothing that this version knows.",
        name=name,
        fields=_fields(reading.unknown),
    )


def _of_whole(measurement: UnknownMeasurement) -> str:
    return say(
        "A measurement ({quantity}) is held, not used: {fields} is nothing that this version "
        "knows.",
        quantity=measurement.quantity[:40],
        fields=_fields(measurement.unknown),
    )


def _of_step(step: UnknownStep) -> str:
    return say(
        "A step ({step}) is held, not used: what it moved, nobody here knows.",
        step=step.step[:40],
    )


def _fields(names: tuple[str, ...]) -> str:
    return listed(f"`{name[:40]}`" for name in names)
