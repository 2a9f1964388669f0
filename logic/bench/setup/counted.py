"""The measurements of the whole instrument that count, each with what has moved it since."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

from logic.bench.measuring.grid import Curve
from logic.bench.setup.faults import fault_of
from logic.bench.setup.postures import posture_of, postures_in
from shared.job import Job
from shared.measurements import Measurement, TouchedMeasurement
from shared.setup import SetupStep

M = TypeVar("M", bound=Measurement)


@dataclass(frozen=True)
class Counted(Generic[M]):
    """One measurement, and what was done since that may have moved what it measured."""

    measurement: M
    stale: bool = False
    moved_by: tuple[SetupStep, ...] = ()

    def moved(self, curve: Curve) -> Curve:
        """What it says now, when it said `curve` at the time."""
        return curve


def counted_in(job: Job) -> tuple[Counted[Measurement], ...]:
    """Those of `job` that can be, in the posture of the latest of them: what was measured as the
    neck lay otherwise is not believed together with them."""
    possible = [m for m in job.measurements if fault_of(m, job.instrument) is None]
    latest = next(iter(postures_in(possible)[-1:]), None)
    return tuple(
        Counted(m)
        for m in possible
        if not isinstance(m, TouchedMeasurement) or posture_of(m) is latest
    )


def of_kind(counted: Iterable[Counted[Measurement]], model: type[M]) -> list[Counted[M]]:
    """The measurements of one quantity."""
    return [
        Counted(each.measurement, each.stale, each.moved_by)
        for each in counted
        if isinstance(each.measurement, model)
    ]


def all_moved_by(counted: Iterable[Counted[M]]) -> tuple[SetupStep, ...]:
    """Everything that has moved any of these since, each once."""
    found: list[SetupStep] = []
    for step in (step for each in counted for step in each.moved_by):
        if not any(step is other for other in found):
            found.append(step)
    return tuple(found)
