"""Evidence of two kinds that no string could give at once: it is named with both, and read again.

Each stands until one of the two was read a second time: what is found twice is so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING

from logic.bench.instrument.string_geometry import StringGeometry
from logic.bench.measuring.contradictions import Contradiction, HeightEvidence
from logic.bench.measuring.grid import CLEARANCE, Posterior, flat_prior
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.kinds.cents import speaks_of_height
from logic.bench.tables.vocabulary import OpenStringTone
from logic.bench.window.string_window import StringWindow
from shared.readings import Buzz, BuzzReading, CentsReading, Reading

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable
    from logic.bench.tables.reading import ReadingTable


def crown_yet_clean(
    readings: Sequence[Reading],
    believed: Posterior,
    window: StringWindow,
    heard_as: OpenStringTone,
    table: CallTable,
) -> Contradiction | None:
    """A string that lies on the first crown, or as good as on it, and rings clean when it is played
    open. Where the physics of frets has no say, or so low a string was asked for, it may."""
    meant = window.in_tune_to_mm is None or window.low_mm <= table.resting_mm
    if meant or heard_as is not OpenStringTone.CLEAN:
        return None
    touches = [r for r in readings if kind_of(r).only_height and _read_once(r, readings)]
    if not touches or believed.probability_below(table.resting_mm) < table.call_at_least:
        return None
    last = touches[-1]
    return Contradiction(last, BuzzReading(string=last.string, buzz=Buzz.NONE), 0.0)


def too_high_for_its_cents(
    readings: Sequence[Reading],
    answers: Sequence[HeightEvidence],
    geometry: StringGeometry,
    reading: ReadingTable,
    call: CallTable,
) -> Contradiction | None:
    """A string that every touch puts so high that its stiffness alone would make a low fret sharper
    than it was heard, by more than the doubts of both allow. A finger only adds to that."""
    touched = [answer for answer in answers if kind_of(answer.reading).only_height]
    heard = [each.reading for each in answers if isinstance(each.reading, CentsReading)]
    if not touched or not heard or geometry.spring is None:
        return None
    low_mm = _at_least_mm(touched)
    for cents in heard:
        if _impossible(cents, low_mm, geometry, reading, call):
            last = touched[-1].reading
            if _read_once(cents, readings) and _read_once(last, readings):
                return Contradiction(last, cents, 0.0)
    return None


def _at_least_mm(touched: Sequence[HeightEvidence]) -> float:
    """The clearance that all touches together put the string above, in 39 of 40."""
    believed = reduce(Posterior.times, (each.curve for each in touched), flat_prior(CLEARANCE))
    return believed.quantile(0.025)


def _impossible(
    cents: CentsReading,
    low_mm: float,
    geometry: StringGeometry,
    reading: ReadingTable,
    call: CallTable,
) -> bool:
    if not speaks_of_height(cents, reading, geometry):
        return False
    untouched = replace(geometry, finger=replace(geometry.finger, push_mm=0.0))
    least = untouched.cents(low_mm, cents.fret) or 0.0
    doubt = math.hypot(
        reading.tuner_spread_cents, cents.doubt_cents or 0.0, geometry.kappa_sd_share * least
    )
    return least - cents.cents > call.impossible_doubts * doubt


def _read_once(reading: Reading, readings: Sequence[Reading]) -> bool:
    """Whether the same question was not answered a second time."""
    asked = type(reading), kind_of(reading).question(reading)
    return [(type(r), kind_of(r).question(r)) for r in readings].count(asked) < 2
