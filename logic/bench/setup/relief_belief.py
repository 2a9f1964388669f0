"""What is believed of relief on each side of the neck, and where that stands."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

from logic.bench.measuring.grid import Posterior
from logic.bench.measuring.next_leaf import LeafReason, Stack
from logic.bench.measuring.quantities.relief import QUANTITY, RELIEF, gap_per_relief
from logic.bench.measuring.quantities.touch import place, softness
from logic.bench.setup.counted import Counted, all_moved_by, all_stale, curves_now, of_kind
from logic.bench.setup.holds import default_holds, middle_fret
from logic.bench.setup.linked import Linked, Spreads, linked_beliefs
from logic.bench.setup.measured import MeasuredValue, MeasuredWindow, TouchAdvice, WindowStanding
from logic.bench.setup.next_touch import TouchQuestion, next_touch
from logic.bench.setup.standing import chances_of, standing_of
from logic.bench.setup.targets import relief_window
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.instrument import Instrument
from shared.job import Job
from shared.measurements import Measurement, ReliefMeasurement, Side

SideReadings = dict[Side, list[Counted[ReliefMeasurement]]]


def relief_values(
    job: Job, counted: Iterable[Counted[Measurement]], trade: TradeTables
) -> tuple[MeasuredValue, ...]:
    """Relief of the bass side, then of the treble side."""
    window = relief_window(job.instrument, job.player, trade)
    by_side = readings_by_side(counted, job.instrument, trade)
    beliefs = _beliefs(job, by_side, window, trade)
    pairs = zip(by_side.items(), beliefs, strict=True)
    return tuple(_value(job, side, own, said, trade) for (side, own), said in pairs)


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


def readings_by_side(
    counted: Iterable[Counted[Measurement]], instrument: Instrument, trade: TradeTables
) -> SideReadings:
    """What was measured of relief, by side; what was said of the whole neck is said of both."""
    taken = of_kind(counted, ReliefMeasurement)
    return {
        side: [each for each in taken if side_of(each.measurement, instrument) in (side, None)]
        for side in sides_of(instrument)
    }


def is_deep(measurement: ReliefMeasurement, board: Board, trade: TradeTables) -> bool:
    """Whether it was taken about where the gap is deepest, so that it tells relief however the
    neck bends; a number always is."""
    if measurement.at is None or measurement.holds is None:
        return True
    share = share_of_deepest(measurement.holds, measurement.at, board)
    return share >= trade.setup.deep_share


def share_of_deepest(holds: tuple[int, int], at: int, board: Board) -> float:
    """The gap over a fret between two holds, as a share of the deepest between them, of a neck that
    bends evenly: 4·(x - a)(b - x)/(b - a)²."""
    low, high, x = (place(board.semitones_at(fret)) for fret in (*holds, at))
    return 4.0 * (x - low) * (high - x) / (high - low) ** 2


def _beliefs(
    job: Job, by_side: SideReadings, window: MeasuredWindow, trade: TradeTables
) -> tuple[Posterior, ...]:
    table, known = trade.setup, job.instrument.relief
    level = table.relief_prior_sd_mm if known is None else table.relief_known_within_mm
    spreads = Spreads(
        hidden=(level,),
        own=table.side_own_sd_mm,
        alone=2.0 * table.relief_prior_sd_mm,
        alone_probability=table.alone_probability,
    )
    expected = window.target_mm if known is None else known.mm
    board = job.instrument.fretboard
    values = tuple(
        Linked(expected, (1.0,), tuple(_curves(own, board, trade))) for own in by_side.values()
    )
    return linked_beliefs(RELIEF, values, spreads)


def _curves(
    own: list[Counted[ReliefMeasurement]], board: Board, trade: TradeTables
) -> Iterable[tuple[float, ...]]:
    """A likelihood for each measurement; of those away from the middle only where nothing else was
    taken, as a neck that bends unevenly would be taken for another."""
    deep = [each for each in own if is_deep(each.measurement, board, trade)]
    said = ((each, QUANTITY.likelihood(each.measurement, trade, board)) for each in deep or own)
    return curves_now(RELIEF, said)


def _value(
    job: Job,
    side: Side,
    own: list[Counted[ReliefMeasurement]],
    believed: Posterior,
    trade: TradeTables,
) -> MeasuredValue:
    instrument, window = job.instrument, relief_window(job.instrument, job.player, trade)
    chances = chances_of(believed, window)
    holds = default_holds(instrument, trade)
    at = middle_fret(holds, instrument.fretboard) if holds else None
    unread = WindowStanding.UNREAD
    return MeasuredValue(
        quantity="relief",
        window=window,
        standing=standing_of(chances, trade.call.sure) if own else unread,
        ask=partial(_advice, job, own, believed, window, trade),
        believed=believed,
        chances=chances,
        side=side,
        string=outer_string(instrument, side),
        fret=at,
        holds=holds,
        touches=len(own),
        moved_by=all_moved_by(own),
        stale=all_stale(own),
    )


def _advice(
    job: Job,
    own: list[Counted[ReliefMeasurement]],
    believed: Posterior,
    window: MeasuredWindow,
    trade: TradeTables,
) -> TouchAdvice:
    instrument = job.instrument
    fresh = [each.measurement for each in own if not each.stale]
    holds, board = default_holds(instrument, trade), instrument.fretboard
    if holds is None:
        # no frets to hold a string down at: a straight edge and a number
        return TouchAdvice(LeafReason.ENOUGH if fresh else LeafReason.NO_LEAF)
    at = middle_fret(holds, board)
    low, high, middle = (place(board.semitones_at(fret)) for fret in (*holds, at))
    question = TouchQuestion(
        believed=believed,
        window=window,
        gap_per_unit=gap_per_relief(holds, at, board),
        softness=softness(low, high, middle),
        leaves=job.kit.leaves,
        used=frozenset(_leaves(m) for m in fresh if (m.holds, m.at) == (holds, at)),
        touches=len(fresh),
        most_touches=trade.setup.most_relief_touches,
    )
    return next_touch(question, trade)


def _leaves(measurement: ReliefMeasurement) -> Stack:
    return tuple(sorted(measurement.leaves))
