"""The measurements of the whole instrument that count, each with what has moved it since."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Generic, TypeVar

from logic.bench.measuring.grid import Curve, Grid, Posterior, floored, normalised
from logic.bench.setup.faults import fault_of
from logic.bench.setup.postures import posture_of, postures_in
from logic.bench.setup.sensitivity import STILL
from logic.bench.setup.staleness import FRESH, Cause, Staleness, measurement_staleness
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job
from shared.measurements import Measurement, TouchedMeasurement
from shared.setup import ReferStep, SkipStep

M = TypeVar("M", bound=Measurement)


@dataclass(frozen=True)
class Counted(Generic[M]):
    """One measurement, and what was done since that may have moved what it measured."""

    measurement: M
    since: Staleness = FRESH

    @property
    def stale(self) -> bool:
        """Whether it can no longer be gone by."""
        return self.since.stale

    def moved(self, grid: Grid, curve: Curve) -> Curve:
        """What it says now, when it said `curve` at the time: shifted and widened."""
        moved = self.since.moved
        return curve if moved == STILL else _moved(grid, curve, moved.mm, moved.sd_mm)


def counted_in(job: Job, trade: TradeTables) -> tuple[Counted[Measurement], ...]:
    """Those of `job` that can be, in the posture of the latest of them: what was measured as the
    neck lay otherwise is not believed together with them."""
    pairs = zip(job.measurements, _since(job, trade), strict=True)
    possible = [Counted(m, since) for m, since in pairs if fault_of(m, job.instrument) is None]
    latest = next(iter(postures_in(each.measurement for each in possible)[-1:]), None)
    return tuple(
        each
        for each in possible
        if not isinstance(each.measurement, TouchedMeasurement)
        or posture_of(each.measurement) is latest
    )


def anything_moved(job: Job) -> bool:
    """Whether any of its steps can move what was read: leaving out and referring move nothing."""
    return any(not isinstance(step, SkipStep | ReferStep) for step in job.steps)


def of_kind(counted: Iterable[Counted[Measurement]], model: type[M]) -> list[Counted[M]]:
    """The measurements of one quantity."""
    return [
        Counted(each.measurement, each.since)
        for each in counted
        if isinstance(each.measurement, model)
    ]


def all_stale(counted: Iterable[Counted[M]]) -> bool:
    """Whether there are any, and none can be gone by."""
    stale = [each.stale for each in counted]
    return bool(stale) and all(stale)


def all_moved_by(counted: Iterable[Counted[M]]) -> tuple[Cause, ...]:
    """Everything that has moved any of these since, each once."""
    found: list[Cause] = []
    for cause in (cause for each in counted for cause in each.since.by):
        if not any(cause is other for other in found):
            found.append(cause)
    return tuple(found)


def _since(job: Job, trade: TradeTables) -> tuple[Staleness, ...]:
    if not (anything_moved(job) or job.passes or job.rounds):
        return (FRESH,) * len(job.measurements)
    return measurement_staleness(job, trade)


@lru_cache(maxsize=64)
def _moved(grid: Grid, curve: Curve, by_mm: float, spread_mm: float) -> Curve:
    moved = Posterior(grid, normalised(curve)).moved(by_mm, spread_mm).mass
    top = max(moved)
    return floored(each / top for each in moved)
