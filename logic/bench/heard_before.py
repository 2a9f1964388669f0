"""What a job on record says of its player: which strings buzzed or rang clean, at which clearance.

Handed to the plan of the next job of the same player, it moves the low edges of the windows.
"""

from __future__ import annotations

from collections.abc import Iterable

from logic.bench.attack import Heard
from logic.bench.plan import since_last_pass, standing, state_in
from logic.bench.strung import strung
from logic.bench.trade import Trade
from shared.errors import InputError
from shared.instrument import Instrument
from shared.job import Buzz, Job, Reading


def heard_in(job: Job, trade: Trade) -> tuple[Heard, ...]:
    """Every string of a job whose clearance is well known and whose open ring was answered for."""
    if not job.instrument.fretted:
        return ()
    bench, found = standing(job, trade), []
    well_known = trade.tables["attack"]["well_known_sd_mm"]["value"]
    for spec in job.instrument.strings:
        buzz = last_buzz(since_last_pass(job, spec.string))
        state = state_in(bench, spec.string)
        if buzz is Buzz.UNKNOWN or not state.measured or state.contradiction is not None:
            continue
        if state.believed.sd_mm <= well_known:
            found += _heard(
                bench.job.instrument, spec.string, state.believed.median_mm, buzz, trade
            )
    return tuple(found)


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
