"""How a neck bends, as far as its relief tells: evenly, back, more on one side, or in an S.

A twist leaves both sides straight: it is looked for by sight, and nothing here speaks of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import reduce

from logic.bench.measuring.grid import Posterior, bell, normalised, phi
from logic.bench.measuring.quantities.relief import QUANTITY, RELIEF, gap_per_relief
from logic.bench.setup.counted import Counted, curves_now
from logic.bench.setup.measured import FoundShape, MeasuredValue, NeckShape
from logic.bench.setup.relief_belief import is_deep, readings_by_side
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.job import Job
from shared.measurements import Measurement, ReliefMeasurement, Side


def neck_shape(
    job: Job,
    counted: Iterable[Counted[Measurement]],
    relief: Iterable[MeasuredValue],
    trade: TradeTables,
) -> FoundShape:
    """The shape of the neck; *unknown* where none is likely enough to be said."""
    read = [v for v in relief if v.touches and not v.stale and v.believed is not None]
    uneven = _uneven_mm(read)
    apart = uneven is not None and _chance_apart(uneven, trade.setup.uneven_mm)
    refer = uneven is not None and _chance_apart(uneven, trade.setup.uneven_refer_mm)
    least = trade.call.call_at_least
    in_s = max(_chances_of_an_s(job, counted, read, trade), default=0.0)
    shape, chance = _bow(read, least, trade.setup.straight_within_mm)
    if apart and apart >= least:
        shape, chance = NeckShape.UNEVEN, apart
    if in_s >= least:
        shape, chance = NeckShape.S_SHAPE, in_s
    return FoundShape(
        shape=shape,
        chance=chance,
        uneven_mm=None if uneven is None else _interval(*uneven),
        refer=in_s >= least or bool(refer and refer >= least),
    )


def _bow(read: list[MeasuredValue], least: float, straight_mm: float) -> tuple[NeckShape, float]:
    """Back where it is so on either side; hollow or straight where it is so on all that were
    read."""
    said = [_bow_chances(v.believed, straight_mm) for v in read if v.believed is not None]
    if not said:
        return NeckShape.UNKNOWN, 0.0
    back = max(back for back, _, _ in said)
    if back >= least:
        return NeckShape.BACK_BOW, back
    straight = min(straight for _, straight, _ in said)
    hollow = min(hollow for _, _, hollow in said)
    shape, chance = max(
        ((NeckShape.STRAIGHT, straight), (NeckShape.HOLLOW, hollow)), key=lambda each: each[1]
    )
    return (shape, chance) if chance >= least else (NeckShape.UNKNOWN, chance)


def _bow_chances(believed: Posterior, straight_mm: float) -> tuple[float, float, float]:
    """Chances of back-bow, straight and hollow."""
    back = believed.probability_below(-straight_mm)
    straight = believed.probability_below(straight_mm) - back
    return back, straight, 1.0 - back - straight


def _uneven_mm(read: list[MeasuredValue]) -> tuple[float, float] | None:
    """Bass less treble relief, and its standard deviation; None where one side was not read."""
    by_side = {value.side: value.believed for value in read}
    bass, treble = by_side.get(Side.BASS), by_side.get(Side.TREBLE)
    if bass is None or treble is None:
        return None
    return bass.mean - treble.mean, math.hypot(bass.sd, treble.sd)


def _chance_apart(uneven: tuple[float, float], over_mm: float) -> float:
    """The chance that the sides differ by more, either way."""
    mean, sd = uneven
    return phi((mean - over_mm) / sd) + phi((-mean - over_mm) / sd)


def _interval(mean: float, sd: float) -> tuple[float, float]:
    return mean - 1.96 * sd, mean + 1.96 * sd


def _chances_of_an_s(
    job: Job,
    counted: Iterable[Counted[Measurement]],
    read: list[MeasuredValue],
    trade: TradeTables,
) -> Iterable[float]:
    """For each place away from the middle that was read: the chance that the board there lies off
    the parabola that the middle gives."""
    board = job.instrument.fretboard
    middles = {value.side: value.believed for value in read}
    for side, own in readings_by_side(counted, job.instrument, trade).items():
        middle = middles.get(side)
        deep = any(is_deep(each.measurement, board, trade) for each in own)
        if middle is None or not deep:
            continue
        for place, there in _by_place(own, board, trade).items():
            yield _chance_off(place, there, middle, board, trade)


def _by_place(
    own: list[Counted[ReliefMeasurement]], board: Board, trade: TradeTables
) -> dict[tuple[tuple[int, int], int], list[Counted[ReliefMeasurement]]]:
    """What was read away from the middle, by holds and fret."""
    found: dict[tuple[tuple[int, int], int], list[Counted[ReliefMeasurement]]] = {}
    for each in own:
        measured = each.measurement
        if measured.holds and measured.at and not is_deep(measured, board, trade):
            found.setdefault((measured.holds, measured.at), []).append(each)
    return found


def _chance_off(
    place: tuple[tuple[int, int], int],
    there: list[Counted[ReliefMeasurement]],
    middle: Posterior,
    board: Board,
    trade: TradeTables,
) -> float:
    """Most necks lie on the parabola but for the height of one crown; now and then one does not."""
    table, per_mm = trade.setup, gap_per_relief(*place, board)
    crown, bent = table.crown_off_sd_mm / per_mm, table.bent_off_sd_mm / per_mm
    on_it = normalised(bell(RELIEF, middle.mean, math.hypot(middle.sd, crown)))
    off_it = normalised(bell(RELIEF, middle.mean, math.hypot(middle.sd, bent)))
    alone = table.alone_probability
    cells = zip(on_it, off_it, strict=True)
    prior = Posterior(RELIEF, tuple([(1.0 - alone) * on + alone * off for on, off in cells]))
    said = ((each, QUANTITY.likelihood(each.measurement, trade, board)) for each in there)
    after = reduce(Posterior.times, curves_now(RELIEF, said), prior)
    limit = table.off_the_parabola_mm / per_mm
    return 1.0 - after.probability_between(middle.mean - limit, middle.mean + limit)
