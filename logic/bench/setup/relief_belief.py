"""What is believed of relief on each side of the neck, and where that stands."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache, reduce

from logic.bench.measuring.grid import Posterior, bell, normalised
from logic.bench.measuring.quantities.relief import QUANTITY, RELIEF, gap_per_relief
from logic.bench.measuring.quantities.touch import place, softness
from logic.bench.setup.holds import default_holds, middle_fret
from logic.bench.setup.measured import MeasuredValue, MeasuredWindow, WindowStanding
from logic.bench.setup.next_touch import TouchQuestion, next_touch
from logic.bench.setup.standing import chances_of, standing_of
from logic.bench.setup.targets import relief_window
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.instrument import Instrument
from shared.job import Job
from shared.measurements import Measurement, ReliefMeasurement, Side


def relief_values(
    job: Job, measurements: Iterable[Measurement], trade: TradeTables
) -> tuple[MeasuredValue, ...]:
    """Relief of the bass side, then of the treble side."""
    taken = [m for m in measurements if isinstance(m, ReliefMeasurement)]
    return tuple(_value(job, side, taken, trade) for side in sides_of(job.instrument))


def sides_of(instrument: Instrument) -> tuple[Side, ...]:
    """The sides that are read: of an instrument with one string the bass side alone."""
    return (Side.BASS, Side.TREBLE) if len(instrument.strings) > 1 else (Side.BASS,)


def outer_string(instrument: Instrument, side: Side) -> int:
    """The number of the outermost string of a side that runs from the common nut."""
    common = [spec.string for spec in instrument.strings if not spec.from_fret]
    numbers = common or [spec.string for spec in instrument.strings]
    return max(numbers) if side is Side.BASS else min(numbers)


def side_of(measurement: ReliefMeasurement, instrument: Instrument) -> Side | None:
    """The side that was measured: as it was said, else that of the string; None of the whole."""
    if measurement.side is not None or measurement.string is None:
        return measurement.side
    numbers = [spec.string for spec in instrument.strings]
    middle = (min(numbers) + max(numbers)) / 2.0
    return Side.BASS if measurement.string >= middle else Side.TREBLE


def _value(
    job: Job, side: Side, taken: list[ReliefMeasurement], trade: TradeTables
) -> MeasuredValue:
    instrument, window = job.instrument, relief_window(job.instrument, job.player, trade)
    own = [m for m in taken if side_of(m, instrument) in (side, None)]
    board = instrument.fretboard
    curves = (QUANTITY.likelihood(m, trade, board) for m in own)
    believed = reduce(Posterior.times, curves, _prior(window, trade))
    chances = chances_of(believed, window)
    holds = default_holds(instrument, trade)
    at = middle_fret(holds, board)
    question = TouchQuestion(
        believed=believed,
        window=window,
        gap_per_unit=gap_per_relief(holds, at, board),
        softness=_softness(holds, at, board),
        leaves=job.kit.leaves,
        used=frozenset(tuple(sorted(m.leaves)) for m in own if m.at == at and m.holds == holds),
        touches=len(own),
    )
    standing = standing_of(chances, trade.call.sure) if own else WindowStanding.UNREAD
    return MeasuredValue(
        quantity="relief",
        window=window,
        standing=standing,
        advice=next_touch(question, trade),
        believed=believed,
        chances=chances,
        side=side,
        string=outer_string(instrument, side),
        fret=at,
        holds=holds,
        touches=len(own),
    )


def _softness(holds: tuple[int, int], at: int, board: Board) -> float:
    low, high, middle = (place(board.semitones_at(fret)) for fret in (*holds, at))
    return softness(low, high, middle)


@lru_cache(maxsize=32)
def _prior(window: MeasuredWindow, trade: TradeTables) -> Posterior:
    """About the middle of the window, widely; anything else at one chance in ten."""
    near = bell(RELIEF, window.target_mm, trade.setup.relief_prior_sd_mm)
    return Posterior(RELIEF, normalised(near))
