"""Relief and action as they were measured: figures that count instead of what was listed or is
usual. What something has moved since counts no more, nor what is known too roughly."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from statistics import fmean

from logic.bench.setup.action_belief import action_values
from logic.bench.setup.counted import Counted, counted_in, of_kind
from logic.bench.setup.measured import MeasuredValue
from logic.bench.setup.relief_belief import relief_values
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job
from shared.measurements import ActionMeasurement, ReliefMeasurement
from shared.units import Length


@dataclass(frozen=True)
class FiguresRead:
    """Figures of the instrument that were measured."""

    relief: Length | None = None
    action: Mapping[int, Length] = field(default_factory=dict)
    """An octave up, by string."""


def figures_read(job: Job, trade: TradeTables) -> FiguresRead:
    """Those of a job as it stands; none where nothing was measured."""
    if not job.measurements:
        return FiguresRead()
    return FiguresRead(_relief(job, trade), _action(job, trade))


def _relief(job: Job, trade: TradeTables) -> Length | None:
    """Relief of the neck, the mean of its sides; a single number as it was written. None where it
    was not measured since something last moved it."""
    if not any(isinstance(m, ReliefMeasurement) for m in job.measurements):
        return None
    counted = counted_in(job, trade)
    fresh = [c for c in of_kind(counted, ReliefMeasurement) if not c.stale]
    if len(fresh) == 1 and fresh[0].measurement.holds is None and fresh[0].measurement.value:
        return fresh[0].measurement.value
    known = _known(relief_values(job, counted, trade), trade.step_shifts.known_relief_sd_mm)
    return Length.of(round(fmean(known.values()), 3)) if known else None


def _action(job: Job, trade: TradeTables) -> dict[int, Length]:
    """The action an octave up by string, of those where it was measured since something last moved
    it; a single number as it was written."""
    if not any(isinstance(m, ActionMeasurement) for m in job.measurements):
        return {}
    counted = counted_in(job, trade)
    values = action_values(job, counted, trade)
    known = _known(values, trade.step_shifts.known_action_sd_mm)
    fresh = [c for c in of_kind(counted, ActionMeasurement) if not c.stale]
    frets = {value.string: value.fret for value in values}
    written = {string: _written(fresh, string, frets[string]) for string in known}
    return {s: written[s] or Length.of(round(known[s], 3)) for s in known}


def _known(values: tuple[MeasuredValue, ...], within_mm: float) -> dict[int, float]:
    """By string the median of those that were measured, are not stale and are known so well."""
    return {
        value.string: value.believed.median
        for value in values
        if value.string is not None and value.touches and not value.stale
        if value.believed is not None and value.believed.sd <= within_mm
    }


def _written(
    fresh: list[Counted[ActionMeasurement]], string: int, fret: int | None
) -> Length | None:
    """The number that is all that was measured of a string; None where there is more."""
    taken = [counted.measurement for counted in fresh]
    own = [one for one in taken if (one.string, one.fret) == (string, fret)]
    return own[0].value if len(own) == 1 else None
