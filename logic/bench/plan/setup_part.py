"""The visit of the whole instrument as a plan publishes it."""

from __future__ import annotations

from logic.bench.measuring.grid import Posterior
from logic.bench.setup.measured import (
    MeasuredValue,
    MeasuredWindow,
    SetupQuestion,
    SetupState,
    WindowStanding,
)
from shared.job import Gate, GateState, Job
from shared.setup import ReferStep, Scope, Stage
from shared.setup_plan import ActionRead, NextReading, SetupPlan, ValueRead, ValueWindow

_WHY: dict[Stage, tuple[str, ...]] = {
    Stage.STRINGS: ("at_pitch", "tuning"),
    Stage.RELIEF: ("relief_before_nut",),
    Stage.ACTION: ("action_before_nut",),
    Stage.SADDLE: ("action_before_nut",),
}
"""By stage, the checks that say why it is due."""


def setup_part(state: SetupState, job: Job, gates: tuple[Gate, ...]) -> SetupPlan | None:
    """How a visit stands; None of one for the nut alone."""
    if state.scope is Scope.NUT:
        return None
    return SetupPlan(
        scope=state.scope,
        stage=state.stage,
        why=_why(state.stage, gates),
        relief_mm={value.side: _read(value) for value in state.relief if value.side is not None},
        action_mm=tuple(
            ActionRead(string=value.string, fret=value.fret, **dict(_read(value)))
            for value in (*state.action, *state.action_elsewhere)
            if value.string is not None and value.fret is not None
        ),
        stale=tuple(state.stale_strings),
        next=_next(state.next) if state.next is not None else None,
        refer=_referred(job, gates),
    )


def _why(stage: Stage, gates: tuple[Gate, ...]) -> str:
    """What the check of this stage says; empty where none speaks of it."""
    names = _WHY.get(stage, ())
    said = (g.why for g in gates if g.gate in names and g.state is not GateState.PASSED)
    return next(said, "")


def _referred(job: Job, gates: tuple[Gate, ...]) -> tuple[str, ...]:
    """What somebody referred, and what the look found that bars every call."""
    found = (g.why for g in gates if g.gate in _STOPS and g.state is GateState.FAILED)
    said = (step.why for step in job.steps if isinstance(step, ReferStep))
    return tuple(dict.fromkeys((*said, *found)))


_STOPS = ("cracks", "bridge_lifting", "heel_gap", "twist")
"""Checks of the look whose faults are a repairer's."""


def _read(value: MeasuredValue) -> ValueRead:
    known = value.believed if value.touches or value.predicted else None
    estimate, low, high = _figures(known)
    unread = known is None
    return ValueRead(
        estimate=estimate,
        low=low,
        high=high,
        window=_window(value.window),
        stands=(WindowStanding.UNREAD if unread else value.standing).value,
        stale=value.stale,
    )


def _figures(believed: Posterior | None) -> tuple[float | None, float | None, float | None]:
    if believed is None:
        return None, None, None
    low, high = believed.interval(0.95)
    return round(believed.median, 4), round(low, 4), round(high, 4)


def _window(window: MeasuredWindow) -> ValueWindow:
    return ValueWindow(
        low=round(window.low_mm, 4),
        target=round(window.target_mm, 4),
        high=round(window.high_mm, 4),
    )


def _next(asked: SetupQuestion) -> NextReading:
    about = asked.about
    slid_in = asked.advice.slid_in if asked.advice else ()
    return NextReading(
        stage=asked.stage,
        what=asked.what.value,
        quantity=about.quantity if about else None,
        string=asked.string,
        side=asked.side,
        holds=asked.holds,
        at=asked.fret,
        leaf_mm=tuple(leaf.mm for leaf in slid_in),
    )
