"""How it lay while it was measured: what is of two postures is not believed together."""

from __future__ import annotations

from collections.abc import Iterable

from shared.measurements import Measurement, Posture, TouchedMeasurement


def posture_of(measurement: TouchedMeasurement) -> Posture:
    """As it was said; else as it is played, which is how it is asked to be held."""
    return measurement.posture or Posture.PLAYED


def postures_in(measurements: Iterable[Measurement]) -> tuple[Posture, ...]:
    """Every posture it was measured in, the latest last."""
    felt = [posture_of(m) for m in measurements if isinstance(m, TouchedMeasurement)]
    return tuple(reversed(dict.fromkeys(reversed(felt))))
