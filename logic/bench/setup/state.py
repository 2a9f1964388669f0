"""The whole visit as it stands: relief, action, the stages, and the one thing that comes next."""

from __future__ import annotations

from logic.bench.setup.action_belief import action_values, in_order_of_asking
from logic.bench.setup.measured import SetupState
from logic.bench.setup.postures import posture_of, postures_in
from logic.bench.setup.relief_belief import relief_values
from logic.bench.setup.stages import VisitSoFar, stages_of
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job
from shared.measurements import Measurement, TouchedMeasurement
from shared.setup import Scope, StringsStep


def setup_state(job: Job, trade: TradeTables) -> SetupState:
    """How the visit of `job` stands, which is the job as the work done on it leaves it; of a visit
    for the nut alone nothing but its scope."""
    scope = (job.setup and job.setup.scope) or Scope.NUT
    if scope is Scope.NUT:
        return SetupState(scope)
    postures = postures_in(job.measurements)
    measurements = _in_latest_posture(job)
    relief = relief_values(job, measurements, trade)
    action = action_values(job, measurements, trade)
    asked = in_order_of_asking(job, action)
    stages, asked_next = stages_of(VisitSoFar(job, scope, relief, asked, trade))
    return SetupState(
        scope=scope,
        stages=stages,
        relief=relief,
        action=action,
        next=asked_next,
        postures=postures,
        as_it_came=_as_it_came(job),
    )


def _in_latest_posture(job: Job) -> tuple[Measurement, ...]:
    """The measurements that are believed together: those in the posture of the latest."""
    latest = next(iter(postures_in(job.measurements)[-1:]), None)
    return tuple(
        m
        for m in job.measurements
        if not isinstance(m, TouchedMeasurement) or posture_of(m) is latest
    )


def _as_it_came(job: Job) -> bool:
    """Whether neck and action were measured before strings were changed."""
    restrung = (s.after for s in job.steps if isinstance(s, StringsStep) and s.after is not None)
    before = job.measurements[: min(restrung, default=len(job.measurements))]
    return {"relief", "action"} <= {measurement.quantity for measurement in before}
