"""What a visit of the whole instrument still lacks before a slot may be cut.

The nut is the last height to be set: relief and action move every string over its first frets. So
nothing comes off while one of them is unread, was moved since, lay otherwise when it was read, or
stands outside its window.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from logic.bench.setup.measured import MeasuredValue, SetupState, WindowStanding
from logic.bench.setup.staleness import Cause, Staleness, measurement_staleness
from logic.bench.setup.state import setup_state
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job, Pass
from shared.measurements import ActionMeasurement, Measurement, Posture, ReliefMeasurement
from shared.setup import Scope


class Bar(StrEnum):
    """Why relief or action bars every cut."""

    POSTURES = "postures"
    """It was measured in two postures, and not all of it in the last."""
    NOT_AS_PLAYED = "not as played"
    UNREAD = "unread"
    STALE = "stale"
    BACK_BOW = "back-bow"
    """Of relief: below zero."""
    LOW = "low"
    HIGH = "high"
    UNSURE = "unsure"
    """Measured, and it may be in or out."""


@dataclass(frozen=True)
class Barred:
    """Why it bars, and the values that do."""

    bar: Bar
    values: tuple[MeasuredValue, ...] = ()

    @property
    def strings(self) -> tuple[int, ...]:
        """The strings of those values, as the instrument lists them."""
        return tuple(value.string for value in self.values if value.string is not None)


def relief_bars(state: SetupState, job: Job, trade: TradeTables) -> Barred | None:
    """Why relief bars every cut; None where it is in order."""
    return _lying(state, state.relief) or _standing(
        state.relief, _stale(job, ReliefMeasurement, trade), alone=True
    )


def action_bars(state: SetupState, job: Job, trade: TradeTables) -> Barred | None:
    """Why action bars every cut; None where it is in order."""
    stale = _stale(job, ActionMeasurement, trade)
    return _lying(state, state.action) or _standing(state.action, stale)


def _lying(state: SetupState, values: tuple[MeasuredValue, ...]) -> Barred | None:
    """Whether it lay otherwise than it is played, or in two ways."""
    if not state.postures:
        return None
    unread = tuple(value for value in values if not (value.touches or value.confirmed))
    if state.postures_mixed and unread:
        return Barred(Bar.POSTURES, unread)
    return Barred(Bar.NOT_AS_PLAYED) if state.postures[-1] is not Posture.PLAYED else None


def _standing(
    values: tuple[MeasuredValue, ...], stale: frozenset[int | None], *, alone: bool = False
) -> Barred | None:
    """Where they stand; of values that go `alone` one that was read is enough."""
    read = [value for value in values if value.touches]
    unread = [v for v in values if not (v.touches or v.confirmed or (alone and read))]
    if unread or not read:
        return Barred(Bar.UNREAD, tuple(unread) or values)
    moved = [
        v
        for v in read
        if (v.stale and not _filed_alone(v.moved_by)) or (None if alone else v.string) in stale
    ]
    for bar, found in (
        (Bar.STALE, moved),
        (Bar.BACK_BOW, [v for v in values if alone and _bends_back(v)]),
        (Bar.LOW, _at(values, WindowStanding.BELOW)),
        (Bar.HIGH, _at(values, WindowStanding.ABOVE)),
        (Bar.UNSURE, [v for v in _at(values, WindowStanding.UNSURE) if _asks(v)]),
    ):
        if found:
            return Barred(bar, tuple(found))
    return None


def _at(values: Iterable[MeasuredValue], standing: WindowStanding) -> list[MeasuredValue]:
    return [value for value in values if value.standing is standing]


def _asks(value: MeasuredValue) -> bool:
    """Whether another touch is asked for, and not because of the file alone."""
    return value.touches > 0 and not _filed_alone(value.moved_by) and value.advice.asks


def _filed_alone(causes: tuple[Cause, ...]) -> bool:
    """Whether nothing but the file moved it: a slot that is cut takes half of the cut off the
    action, which is read again once the slots are done."""
    return bool(causes) and all(isinstance(cause, Pass) for cause in causes)


def cuts_wait(job: Job, trade: TradeTables) -> bool:
    """Whether relief, action or the wish of whoever brought it bars every cut of a job as it
    stands."""
    state = setup_state(job, trade)
    if state.scope is Scope.NUT:
        return False
    barred = relief_bars(state, job, trade) or action_bars(state, job, trade)
    return state.scope is Scope.CHECK or barred is not None


def _bends_back(value: MeasuredValue) -> bool:
    """Whether it surely lies out, and rather below zero than above."""
    out = value.standing is WindowStanding.BELOW
    return out and value.believed is not None and value.believed.median < 0.0


def _stale(job: Job, model: type[Measurement], trade: TradeTables) -> frozenset[int | None]:
    """The strings of which every measurement of one quantity is stale; None for relief, where all
    are."""
    found: dict[int | None, bool] = {}
    for one, how in _with_staleness(job, trade):
        if isinstance(one, model):
            about = one.string if isinstance(one, ActionMeasurement) else None
            found[about] = found.get(about, True) and how.stale and not _filed_alone(how.by)
    return frozenset(about for about, stale in found.items() if stale)


def _with_staleness(job: Job, trade: TradeTables) -> Iterable[tuple[Measurement, Staleness]]:
    return zip(job.measurements, measurement_staleness(job, trade), strict=True)
