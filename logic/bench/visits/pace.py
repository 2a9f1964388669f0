"""How long one slot takes on this bench, learned from the moments its own jobs recorded.

With y the logarithm of a job's minutes a slot over the table's figure,

    y_job ~ N(m, s²)      m ~ N(0, t²)

so that m given n jobs is normal with precision 1/t² + n/s² and mean Σy/s² over that precision
(normal mean, known variance; Gelman et al., *Bayesian Data Analysis*, §2.5, from memory). With no
job of its own a bench has the table's figure. The minutes that somebody noted for a method of
raising are believed in the same way, each method by itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.time_spent import minutes_worked
from shared.job import RaiseOption


@dataclass(frozen=True)
class WorkPace:
    """Minutes that filing and reading one slot take here, and how that is known."""

    slot_minutes: float
    """The median."""
    sd_log: float
    """Spread of its logarithm: what is not known of this bench."""
    jobs: int
    """As many of this bench's jobs say so; 0 where it is the table's figure."""
    methods: Mapping[str, Sequence[float]] = field(default_factory=dict)
    """By method of raising: minutes that were noted, over those that the table had for that job."""


def minutes_a_slot(slots_ms: Mapping[int, Sequence[int]], trade: TradeTables) -> float | None:
    """What one slot took in one job, on average, minutes; None where no slot tells.

    `slots_ms` are by string the moments at which its slot's work was recorded: the reading before
    the first pass, the passes, and what was read and heard after.
    """
    least = trade.pace.least_slot_minutes
    spent = [minutes_worked(moments, trade) for moments in slots_ms.values()]
    known = [minutes for minutes in spent if minutes is not None and minutes >= least]
    return sum(known) / len(known) if known else None


def pace_of(
    jobs_minutes: Iterable[float],
    trade: TradeTables,
    methods: Mapping[str, Sequence[float]] = MappingProxyType({}),
) -> WorkPace:
    """The pace of a bench whose jobs took so many minutes a slot, each job once."""
    usual = trade.raising.slot_minutes
    ratios = [minutes / usual for minutes in jobs_minutes]
    mean, sd = _believed(ratios, trade)
    return WorkPace(usual * math.exp(mean), sd, len(ratios), methods)


def _believed(ratios: Sequence[float], trade: TradeTables) -> tuple[float, float]:
    """Mean and spread of the logarithm of what this bench takes over what the table has."""
    own = 1 / trade.pace.sd_log_job**2
    precision = 1 / trade.pace.sd_log_table**2 + len(ratios) * own
    return own * sum(map(math.log, ratios)) / precision, precision**-0.5


def minutes_here(
    option: RaiseOption, pace: WorkPace, trade: TradeTables
) -> tuple[float, int] | None:
    """Minutes that `option` takes on this bench, and how many of its jobs that is learned from.

    Where minutes of this method were noted, they decide. Else only the work on its slots is
    learned, and what a fill, a shim or a new nut takes besides is the table's figure.
    """
    if option.minutes is None:
        return None
    if noted := pace.methods.get(option.method):
        return option.minutes * math.exp(_believed(noted, trade)[0]), len(noted)
    usual = trade.raising.slot_minutes
    learned = option.slots_filed * (pace.slot_minutes - usual)
    return option.minutes + learned, pace.jobs if option.slots_filed else 0
