"""The measurements of the whole instrument that count, each with what has moved it since."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache, reduce
from itertools import pairwise
from operator import mul
from statistics import fmean
from typing import Generic, TypeVar

from logic.bench.measuring.grid import Curve, Grid, floored, phi
from logic.bench.setup.faults import fault_of
from logic.bench.setup.postures import posture_of, postures_in
from logic.bench.setup.sensitivity import STILL, Move
from logic.bench.setup.staleness import FRESH, Cause, Staleness, measurement_staleness
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job
from shared.measurements import Measurement, TouchedMeasurement
from shared.setup import ReferStep, SkipStep

M = TypeVar("M", bound=Measurement)
_TAIL = 5.0
"""Spreads either side of a move that are summed."""


@dataclass(frozen=True)
class Counted(Generic[M]):
    """One measurement, and what was done since that may have moved what it measured."""

    measurement: M
    since: Staleness = FRESH

    @property
    def stale(self) -> bool:
        """Whether it can no longer be gone by."""
        return self.since.stale


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


def curves_now(grid: Grid, said: Iterable[tuple[Counted[M], Curve]]) -> Iterator[Curve]:
    """What measurements say now that each `said` a curve when it was taken. Those that the same
    has moved since are taken together first, as it moved all of them alike."""
    groups: dict[Move, list[Curve]] = {}
    for counted, curve in said:
        groups.setdefault(counted.since.moved, []).append(curve)
    for moved, curves in groups.items():
        if moved == STILL:
            yield from curves
        else:
            yield moved_likelihood(grid, product(tuple(curves)), moved.mm, moved.sd_mm)


@lru_cache(maxsize=64)
def product(curves: tuple[Curve, ...]) -> Curve:
    """The likelihood of all of them together; at its best one, so that many leave no underflow."""
    together = tuple(reduce(mul, cell) for cell in zip(*curves, strict=True))
    best = max(together)
    return tuple([each / best for each in together])


@lru_cache(maxsize=64)
def moved_likelihood(grid: Grid, curve: Curve, by: float, spread: float) -> Curve:
    """How likely the same was for each value that the quantity has since it moved by about so much,
    `spread` its standard deviation: L'(x) is the mean of L(x - move). Beyond an end of the grid the
    likelihood goes on as it ended. Worked out in cells of a third of the spread."""
    stride = max(round(spread / (3.0 * grid.step)), 1)
    cells = [fmean(curve[i : i + stride]) for i in range(0, len(curve), stride)]
    first, weights = _weights(by, spread, grid.step * stride)
    low, high = max(first + len(weights), 0), max(-first, 0)
    padded = [cells[0]] * low + cells + [cells[-1]] * high
    starts = range(low - first - len(weights) + 1, low - first - len(weights) + 1 + len(cells))
    moved = [sum(map(mul, weights, padded[i : i + len(weights)])) for i in starts]
    return floored(_between(moved, stride, len(curve)))


def _weights(by: float, spread: float, width: float) -> tuple[int, list[float]]:
    """How much of a normal move falls into each cell: the first cell, and the weights from the last
    cell to the first."""
    narrow = max(spread, width / 4.0)
    first, last = (round((by + side * _TAIL * narrow) / width) for side in (-1.0, 1.0))
    edges = [phi(((cell - 0.5) * width - by) / narrow) for cell in range(first, last + 2)]
    return first, [high - low for low, high in pairwise(edges)][::-1]


def _between(cells: list[float], stride: int, points: int) -> Iterator[float]:
    """The values at every point, on straight lines between the middles of the cells."""
    if stride == 1:
        yield from cells
        return
    middle, last = (stride - 1) / 2.0, len(cells) - 1
    for point in range(points):
        at = min(max((point - middle) / stride, 0.0), float(last))
        low = min(int(at), last - 1) if last else 0
        share = at - low
        yield cells[low] * (1.0 - share) + cells[min(low + 1, last)] * share
