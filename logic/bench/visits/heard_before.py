"""What a job on record says of its player: what buzzed or rang clean, at which clearance.

Handed to the plan of the next job of the same player, it moves the low edges of the windows.
"""

from __future__ import annotations

from collections.abc import Iterable

from logic.bench.checks.answered import as_answered
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.instrument.strung_string import strung_string
from logic.bench.measuring.contradictions import believed_after, find_contradiction, height_evidence
from logic.bench.measuring.grid import Posterior
from logic.bench.measuring.posterior import kind_prior
from logic.bench.plan.string_belief import since_last_pass
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.attack import BuzzObservation
from shared.errors import InputError
from shared.instrument import Instrument
from shared.job import Job
from shared.readings import Buzz, Reading


def heard_in(job: Job, trade: TradeTables) -> tuple[BuzzObservation, ...]:
    """Every string of a job whose clearance is well known and whose open ring was answered for."""
    answered = as_answered(job, trade)
    if not answered.instrument.fretted:
        return ()
    return tuple(
        heard
        for spec in answered.instrument.strings
        for heard in _of_string(answered, spec.string, trade)
    )


def _of_string(job: Job, string: int, trade: TradeTables) -> list[BuzzObservation]:
    readings = since_last_pass(job, string)
    buzz = last_buzz(readings)
    believed = None if buzz is Buzz.UNKNOWN else _measured(job, string, readings, trade)
    well_known = trade.attack.well_known_sd_mm
    if believed is None or believed.sd > well_known:
        return []
    return _observation(job.instrument, string, believed.median, buzz, trade)


def _measured(
    job: Job, string: int, readings: tuple[Reading, ...], trade: TradeTables
) -> Posterior | None:
    """Its clearance by its readings; None where none speaks of it, or where they contradict."""
    geometry = string_geometry(job.instrument, string, trade)
    below = trade.call.contradiction_below
    answers = height_evidence(readings, string, below, trade.reading, geometry)
    if not answers or find_contradiction(answers, below) is not None:
        return None
    start = kind_prior(job.instrument.kind, trade)
    return believed_after(start, answers, trade.reading, geometry)


def last_buzz(readings: Iterable[Reading]) -> Buzz:
    """The last word on how the open string rings; unknown where nobody said."""
    answers = [one.buzz for one in readings if one.buzz is not Buzz.UNKNOWN]
    return answers[-1] if answers else Buzz.UNKNOWN


def _observation(
    instrument: Instrument, string: int, clearance_mm: float, buzz: Buzz, trade: TradeTables
) -> list[BuzzObservation]:
    try:
        on_neck = strung_string(instrument.spec(string), instrument, trade, clearance_mm)
    except InputError:
        return []  # no such string can be, so what it did says nothing
    return [BuzzObservation(on_neck, clearance_mm, buzz)]
