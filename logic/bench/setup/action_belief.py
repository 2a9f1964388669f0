"""What is believed of the action of each string, and where that stands."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache, reduce

from logic.bench.measuring.grid import Posterior, bell, normalised
from logic.bench.measuring.quantities.action import ACTION, QUANTITY
from logic.bench.measuring.quantities.touch import place, softness
from logic.bench.setup.measured import MeasuredValue, WindowStanding
from logic.bench.setup.next_touch import TouchQuestion, next_touch
from logic.bench.setup.standing import chances_of, standing_of
from logic.bench.setup.targets import action_window
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import StringSpec
from shared.job import Job
from shared.kit import Kit
from shared.measurements import ActionMeasurement, Measurement
from shared.units import Length


def action_values(
    job: Job, measurements: Iterable[Measurement], trade: TradeTables
) -> tuple[MeasuredValue, ...]:
    """Action an octave up of every string, in the order of the instrument."""
    taken = [m for m in measurements if isinstance(m, ActionMeasurement)]
    return tuple(_value(job, spec, taken, trade) for spec in job.instrument.strings)


def shanks_of(kit: Kit, trade: TradeTables) -> tuple[Length, ...]:
    """The shanks of a kit, or the usual ones where nobody said which it has."""
    return trade.kit_sizes.shanks if kit.shanks is None else kit.shanks


def _value(
    job: Job, spec: StringSpec, taken: list[ActionMeasurement], trade: TradeTables
) -> MeasuredValue:
    instrument = job.instrument
    window, fret = action_window(spec, instrument, job.player, trade), instrument.octave_fret
    own = [m for m in taken if m.string == spec.string and m.fret == fret]
    curves = (QUANTITY.likelihood(m, trade, instrument.fretboard) for m in own)
    prior = _prior(window.target_mm, trade)
    believed = reduce(Posterior.times, curves, prior)
    chances = chances_of(believed, window)
    question = TouchQuestion(
        believed=believed,
        window=window,
        gap_per_unit=1.0,
        softness=softness(0.0, 1.0, place(instrument.semitones_at(fret))),
        leaves=job.kit.leaves,
        shanks=shanks_of(job.kit, trade),
        used=frozenset(tuple(sorted(m.slid_in)) for m in own),
        touches=len(own),
    )
    return MeasuredValue(
        quantity="action",
        window=window,
        standing=standing_of(chances, trade.call.sure) if own else WindowStanding.UNREAD,
        advice=next_touch(question, trade),
        believed=believed,
        chances=chances,
        string=spec.string,
        fret=fret,
        touches=len(own),
    )


@lru_cache(maxsize=64)
def _prior(usual_mm: float, trade: TradeTables) -> Posterior:
    spread = usual_mm * trade.setup.action_prior_sd_share
    return Posterior(ACTION, normalised(bell(ACTION, usual_mm, spread)))


def in_order_of_asking(job: Job, action: tuple[MeasuredValue, ...]) -> tuple[MeasuredValue, ...]:
    """The outer strings first, then a middle one, which alone shows a sagged bridge, then the
    others."""
    numbers = [value.string or 0 for value in action]
    bass, treble = max(numbers), min(numbers)
    middle = sorted(numbers)[len(numbers) // 2]
    first = {bass: 0, treble: 1, middle: 2}
    return tuple(sorted(action, key=lambda v: (first.get(v.string or 0, 3), -(v.string or 0))))
