"""What a job on record says of its player: what buzzed or rang clean, at which clearance.

Handed to the plan of the next job of the same player, it moves the low edges of the windows.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce

from logic.bench.attack import Heard
from logic.bench.contradictions import answers_of, find_contradiction
from logic.bench.plan import since_last_pass
from logic.bench.reading import Posterior, kind_prior, reading_table
from logic.bench.rules.answered import as_answered
from logic.bench.strung import strung
from logic.bench.trade import Trade
from logic.bench.verdict import call_table
from logic.bench.ways import string_ways
from shared.errors import InputError
from shared.instrument import Instrument
from shared.job import Buzz, Job, Reading


def heard_in(job: Job, trade: Trade) -> tuple[Heard, ...]:
    """Every string of a job whose clearance is well known and whose open ring was answered for."""
    told = as_answered(job, trade)
    if not told.instrument.fretted:
        return ()
    return tuple(
        heard for spec in told.instrument.strings for heard in _of_string(told, spec.string, trade)
    )


def _of_string(job: Job, string: int, trade: Trade) -> list[Heard]:
    own = since_last_pass(job, string)
    buzz = last_buzz(own)
    believed = None if buzz is Buzz.UNKNOWN else _measured(job, string, own, trade)
    well_known = trade.tables["attack"]["well_known_sd_mm"]["value"]
    if believed is None or believed.sd_mm > well_known:
        return []
    return _heard(job.instrument, string, believed.median_mm, buzz, trade)


def _measured(job: Job, string: int, own: tuple[Reading, ...], trade: Trade) -> Posterior | None:
    """Its clearance by its readings; None where none speaks of it, or where they contradict."""
    ways = string_ways(job.instrument, string, trade)
    below = call_table(trade).contradiction_below
    answers = answers_of(own, string, below, reading_table(trade), ways)
    if not answers or find_contradiction(answers, below) is not None:
        return None
    start = kind_prior(job.instrument.kind, trade)
    return reduce(lambda believed, one: believed.times(one.curve), answers, start)


def last_buzz(readings: Iterable[Reading]) -> Buzz:
    """The last word on how the open string rings; unknown where nobody said."""
    said = [one.buzz for one in readings if one.buzz is not Buzz.UNKNOWN]
    return said[-1] if said else Buzz.UNKNOWN


def _heard(
    instrument: Instrument, string: int, clearance_mm: float, buzz: Buzz, trade: Trade
) -> list[Heard]:
    try:
        on_neck = strung(instrument.spec(string), instrument, trade, clearance_mm)
    except InputError:
        return []  # no such string can be, so what it did says nothing
    return [Heard(on_neck, clearance_mm, buzz)]
