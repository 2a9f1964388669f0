"""Action over other frets than the octave's: the last one tells of the upper end of the board.

What may be there follows from the window at the octave: a string is straight, so that its height
over every fret is given by those over the first fret and the octave, and by relief.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache, partial, reduce

from logic.bench.instrument.frets import action_fret, own_frets, own_semitones
from logic.bench.instrument.strung_string import scale_mm
from logic.bench.instrument.targets import aim
from logic.bench.measuring.grid import Posterior, bell, normalised
from logic.bench.measuring.quantities.action import ACTION
from logic.bench.setup.action_belief import StringAction, action_advice, action_curves
from logic.bench.setup.counted import Counted, all_moved_by, all_stale, of_kind
from logic.bench.setup.measured import MeasuredValue, MeasuredWindow
from logic.bench.setup.standing import chances_of, standing_of
from logic.bench.setup.targets import action_window, relief_window
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import Neck, clearance_mm, neck_from_action, nut_height_mm
from shared.instrument import StringSpec
from shared.job import Job
from shared.measurements import ActionMeasurement, Measurement


def action_elsewhere(
    job: Job, counted: Iterable[Counted[Measurement]], trade: TradeTables
) -> tuple[MeasuredValue, ...]:
    """What was measured over other frets, by string and fret, in the order of the instrument."""
    taken = of_kind(counted, ActionMeasurement)
    return tuple(
        _value(job, StringAction(spec, fret, _at(taken, spec.string, fret)), trade)
        for spec in job.instrument.strings
        for fret in _other_frets(job, spec, taken)
    )


def window_over(fret: int, spec: StringSpec, job: Job, trade: TradeTables) -> MeasuredWindow:
    """Where action may lie over a fret, counted from the string's own nut, when the string stands
    on the same edge of its window at the octave, at its target over the first fret, and relief is
    on its target."""
    instrument, player = job.instrument, job.player
    window = action_window(spec, instrument, player, trade)
    octave = action_fret(spec, instrument)
    if octave in (None, fret):
        return window
    relief = relief_window(instrument, player, trade).target_mm
    neck = Neck(
        scale_mm(spec, instrument),
        0.0,
        relief if not spec.from_fret else 0.0,
        frets=own_frets(spec, instrument),
        semitones=own_semitones(spec, instrument),
    )
    first = aim(spec, instrument, player, trade).target_mm
    low, target, high = (
        _over(neck, first, action, octave or fret, fret)
        for action in (window.low_mm, window.target_mm, window.high_mm)
    )
    return MeasuredWindow(low, target, high, window.source)


def _over(neck: Neck, first_mm: float, action_mm: float, octave: int, fret: int) -> float:
    stands = neck_from_action(neck, first_mm, action_mm, octave)
    return max(clearance_mm(stands, nut_height_mm(stands, first_mm), fret), 0.0)


def _other_frets(
    job: Job, spec: StringSpec, taken: list[Counted[ActionMeasurement]]
) -> tuple[int, ...]:
    own = {each.measurement.fret for each in taken if each.measurement.string == spec.string}
    return tuple(sorted(own - {action_fret(spec, job.instrument)}))


def _at(
    taken: list[Counted[ActionMeasurement]], string: int, fret: int
) -> tuple[Counted[ActionMeasurement], ...]:
    found = (each for each in taken if each.measurement.string == string)
    return tuple(each for each in found if each.measurement.fret == fret)


def _value(job: Job, string: StringAction, trade: TradeTables) -> MeasuredValue:
    window = window_over(string.fret, string.spec, job, trade)
    prior = _prior(round(window.target_mm, 3), trade)
    believed = reduce(Posterior.times, action_curves(job, string, trade), prior)
    chances = chances_of(believed, window)
    return MeasuredValue(
        quantity="action",
        window=window,
        standing=standing_of(chances, trade.call.sure),
        ask=partial(action_advice, job, string, believed, window, trade),
        believed=believed,
        chances=chances,
        string=string.spec.string,
        fret=string.fret,
        touches=len(string.own),
        moved_by=all_moved_by(string.own),
        stale=all_stale(string.own),
    )


@lru_cache(maxsize=32)
def _prior(usual_mm: float, trade: TradeTables) -> Posterior:
    spread = max(trade.setup.action_level_share * usual_mm, ACTION.step)
    return Posterior(ACTION, normalised(bell(ACTION, usual_mm, 2.0 * spread)))
