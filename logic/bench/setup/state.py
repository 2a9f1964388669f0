"""The whole visit as it stands: relief, action, the stages, and the one thing that comes next."""

from __future__ import annotations

from functools import lru_cache

from logic.bench.setup.action_belief import action_values, in_order_of_asking
from logic.bench.setup.action_elsewhere import action_elsewhere
from logic.bench.setup.counted import anything_moved, counted_in
from logic.bench.setup.measured import SetupState
from logic.bench.setup.neck_shape import neck_shape
from logic.bench.setup.postures import postures_in
from logic.bench.setup.relief_belief import relief_values
from logic.bench.setup.same_job import SameJob
from logic.bench.setup.stages import VisitSoFar, stages_of
from logic.bench.setup.staleness import Cause, stale_strings
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job
from shared.setup import Scope, StringsStep

_PARTS = tuple(Job.model_fields)
"""All of a job counts."""


def setup_state(job: Job, trade: TradeTables) -> SetupState:
    """How the visit of `job` stands, which is the job as the work done on it leaves it; of a visit
    for the nut alone nothing but its scope."""
    scope = (job.setup and job.setup.scope) or Scope.NUT
    if scope is Scope.NUT:
        return SetupState(scope)
    return _state(SameJob(job, trade, _PARTS))


@lru_cache(maxsize=8)
def _state(same: SameJob) -> SetupState:
    job, trade = same.job, same.trade
    scope = (job.setup and job.setup.scope) or Scope.NUT
    counted = counted_in(job, trade)
    relief = relief_values(job, counted, trade)
    action = action_values(job, counted, trade)
    asked = in_order_of_asking(job, action)
    stale = _stale_strings(job, trade)
    so_far = VisitSoFar(job, scope, relief, asked, trade, frozenset(stale))
    stages, asked_next = stages_of(so_far)
    return SetupState(
        scope=scope,
        stages=stages,
        relief=relief,
        action=action,
        action_elsewhere=action_elsewhere(job, counted, trade),
        neck=neck_shape(job, counted, relief, trade),
        next=asked_next,
        postures=postures_in(job.measurements),
        as_it_came=_as_it_came(job),
        stale_strings=stale,
    )


def _stale_strings(job: Job, trade: TradeTables) -> dict[int, tuple[Cause, ...]]:
    if not anything_moved(job):
        return {}
    return {string: one.by for string, one in stale_strings(job, trade).items()}


def _as_it_came(job: Job) -> bool:
    """Whether neck and action were measured before strings were changed."""
    restrung = (s.after for s in job.steps if isinstance(s, StringsStep) and s.after is not None)
    before = job.measurements[: min(restrung, default=len(job.measurements))]
    return {"relief", "action"} <= {measurement.quantity for measurement in before}
