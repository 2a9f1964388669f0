"""What a measurement cannot be on this instrument: held at a fret that is not there."""

from __future__ import annotations

from enum import StrEnum

from logic.bench.instrument.frets import has_fret
from shared.instrument import Instrument
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement


class MeasurementFault(StrEnum):
    """Why a measurement of the whole instrument says nothing of it."""

    NO_SUCH_HOLD = "held at a fret that is not there"
    NO_SUCH_FRET = "measured over a fret that is not there"
    NO_SUCH_STRING = "measured under a string that is not there"


def fault_of(measurement: Measurement, instrument: Instrument) -> MeasurementFault | None:
    """What is wrong with it; None where it can be."""
    strings = {spec.string for spec in instrument.strings}
    if isinstance(measurement, ReliefMeasurement):
        if measurement.string not in {None, *strings}:
            return MeasurementFault.NO_SUCH_STRING
        return None if _holds_there(measurement, instrument) else MeasurementFault.NO_SUCH_HOLD
    if isinstance(measurement, ActionMeasurement):
        if measurement.string not in strings:
            return MeasurementFault.NO_SUCH_STRING
        spec = instrument.spec(measurement.string)
        # over a bare board the places of the notes are numbered as frets are
        there = has_fret(spec, instrument, measurement.fret)
        return None if there else MeasurementFault.NO_SUCH_FRET
    return None


def _holds_there(measurement: ReliefMeasurement, instrument: Instrument) -> bool:
    if measurement.holds is None:
        return True
    last = instrument.last_fret
    return instrument.fretted and (last is None or measurement.holds[1] <= last)
