"""What one visit measured of neck and action, before anything was done to them and as they are now.

Before is what the earliest measurements say that nothing came between; now is what is believed with
all that still holds. Two postures are never told as one change.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from logic.bench.checks.work_done import as_it_stands
from logic.bench.setup.action_belief import action_values
from logic.bench.setup.counted import counted_in
from logic.bench.setup.measured import MeasuredValue, MeasuredWindow
from logic.bench.setup.postures import postures_in
from logic.bench.setup.relief_belief import relief_values
from logic.bench.setup.step_shifts import shifts_relief
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Interval, Job, Round
from shared.measurements import (
    HumidityMeasurement,
    Measurement,
    Posture,
    Side,
    TemperatureMeasurement,
    TouchedMeasurement,
)
from shared.setup import (
    ReferStep,
    SaddleStep,
    SetBackStep,
    Setup,
    SetupStep,
    SkipStep,
    StringsStep,
    TurnStep,
)
from shared.work import Work

RELIEF, ACTION = "relief", "action"
_LEAVES_ACTION = (SkipStep, ReferStep, SetBackStep)
"""Steps that move no string up or down."""
_OF_NOTE = (TurnStep, SaddleStep, SetBackStep, StringsStep, SkipStep, ReferStep)
Entry = Measurement | SetupStep | Work


@dataclass(frozen=True)
class KnownHeight:
    """Relief of one side or action of one string as it came, or as it is; in one posture."""

    quantity: str
    window: MeasuredWindow
    posture: Posture
    side: Side | None = None
    string: int | None = None
    fret: int | None = None
    before: Interval | None = None
    """None where it was not measured then, or in another posture."""
    after: Interval | None = None
    """None where it was not measured since it was moved."""


@dataclass(frozen=True)
class SetupRecord:
    """What a visit leaves on record of the whole instrument."""

    heights: tuple[KnownHeight, ...] = ()
    steps: tuple[SetupStep, ...] = ()
    """What was done or left out, in order."""
    humidity: float | None = None
    """Of the room, percent, as measured last."""
    celsius: float | None = None

    def height(self, quantity: str, side: Side | None, string: int | None) -> KnownHeight | None:
        """The latest that is known of one side or string."""
        own = [
            each
            for each in self.heights
            if each.quantity == quantity
            and (each.side is side if quantity == RELIEF else each.string == string)
        ]
        return own[-1] if own else None


def setup_record(job: Job, trade: TradeTables) -> SetupRecord | None:
    """The record of one visit; None where nothing was measured or done but on strings."""
    entries = tuple(_entries(job))
    if not any(isinstance(each, Measurement | SetupStep) for each in entries):
        return None
    now = as_it_stands(job, trade)
    room = [each for each in entries if isinstance(each, Measurement)]
    return SetupRecord(
        heights=tuple(
            height
            for quantity in (RELIEF, ACTION)
            for height in _heights(quantity, job, now, entries, trade)
        ),
        steps=tuple(each for each in entries if isinstance(each, _OF_NOTE)),
        humidity=next(
            (m.percent for m in reversed(room) if isinstance(m, HumidityMeasurement)), None
        ),
        celsius=next(
            (m.celsius for m in reversed(room) if isinstance(m, TemperatureMeasurement)), None
        ),
    )


def _entries(job: Job) -> Iterator[Entry]:
    """Everything measured and done at the visit, oldest first, with the work between."""
    sources: tuple[Job | Round, ...] = (*job.rounds, job)
    for source in sources:
        yield from _in_order(source.setup or Setup())
        if isinstance(source, Round):
            yield source.work


def _in_order(setup: Setup) -> Iterator[Entry]:
    steps = [step for step in setup.steps if not step.of_an_earlier_round]
    for place, measurement in enumerate(setup.readings):
        while steps and steps[0].after is not None and steps[0].after <= place:
            yield steps.pop(0)
        yield measurement
    yield from steps


def _heights(
    quantity: str, job: Job, now: Job, entries: Iterable[Entry], trade: TradeTables
) -> Iterator[KnownHeight]:
    first = _first_measured(quantity, entries, trade)
    came = _read(quantity, _only(now, first), trade)
    stands = _read(quantity, now, trade)
    lay, lies = _posture(quantity, first), _posture(quantity, now.measurements)
    for about, value in {**came, **stands}.items():
        before, after = came.get(about), stands.get(about)
        after_mm = None if after is None or after.stale else interval_of(after)
        both = (lay, interval_of(before) if before else None), (lies, after_mm)
        for posture in dict.fromkeys((lay, lies)):
            then, since = (mm if how is posture else None for how, mm in both)
            if then or since:
                yield _height(value, posture, then, since)


def _height(
    value: MeasuredValue, posture: Posture, before: Interval | None, after: Interval | None
) -> KnownHeight:
    return KnownHeight(
        quantity=value.quantity,
        window=value.window,
        posture=posture,
        side=value.side,
        string=value.string if value.quantity == ACTION else None,
        fret=value.fret,
        before=before,
        after=after,
    )


def _read(
    quantity: str, job: Job, trade: TradeTables
) -> dict[tuple[Side | None, int | None], MeasuredValue]:
    """Those that were measured themselves, by side or string."""
    values = relief_values if quantity == RELIEF else action_values
    found = values(job, counted_in(job, trade), trade)
    return {(each.side, each.string): each for each in found if each.touches}


def _first_measured(
    quantity: str, entries: Iterable[Entry], trade: TradeTables
) -> tuple[Measurement, ...]:
    """The earliest measurements of a quantity that nothing came between."""
    found: list[Measurement] = []
    for entry in entries:
        if isinstance(entry, Measurement):
            found += [entry] if entry.quantity == quantity else []
        elif found and _shifted_by(quantity, entry, trade):
            break
    return tuple(found)


def _shifted_by(quantity: str, entry: SetupStep | Work, trade: TradeTables) -> bool:
    if isinstance(entry, Work):
        return quantity in trade.work.row(entry.what).measurements
    if quantity == RELIEF:
        return shifts_relief(entry, trade.step_shifts)
    return not isinstance(entry, _LEAVES_ACTION)


def _only(job: Job, measurements: tuple[Measurement, ...]) -> Job:
    """The job as if nothing else had been measured, and nothing done."""
    scope = job.setup.scope if job.setup else None
    update = {
        "setup": Setup(scope=scope, readings=measurements),
        "passes": (),
        "rounds": (),
        "measured_in": None,
    }
    alone: Job = job.model_copy(update=update)
    return alone


def _posture(quantity: str, measurements: Iterable[Measurement]) -> Posture:
    """That of the latest; as it is played where nobody said otherwise."""
    own = [m for m in measurements if m.quantity == quantity and isinstance(m, TouchedMeasurement)]
    return next(iter(postures_in(own)[-1:]), Posture.PLAYED)


def interval_of(value: MeasuredValue) -> Interval | None:
    """What is believed of a value, with its 95 % interval; None where nothing is."""
    if value.believed is None:
        return None
    low, high = value.believed.interval()
    return Interval(estimate=value.believed.mean, low=low, high=high)
