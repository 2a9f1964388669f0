"""What an instrument's earlier jobs leave on record: each clearance, and how sure it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from logic.bench.checks.answered import as_answered
from logic.bench.plan.string_belief import string_belief
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.quick_check import QUICK_CHECK, KnownClearance, Moved, checked
from shared.job import Job

CHANGES_THE_RECORD = (Moved.LOWER, Moved.HIGHER, Moved.UNSURE)
"""Results of a quick check that change the record; a string as it was changes nothing."""


def last_known(jobs: Iterable[Job], trade: TradeTables) -> dict[int, KnownClearance]:
    """Per string, its clearance after `jobs` of one instrument, oldest first."""
    known: dict[int, KnownClearance] = {}
    for job in jobs:
        known = known_after(job, known, trade)
    return known


def known_after(
    job: Job, before: Mapping[int, KnownClearance], trade: TradeTables
) -> dict[int, KnownClearance]:
    """What is known once `job` is added to what was known `before`.

    A string that was filed or otherwise worked on and not measured again is known no more, nor is
    one that the instrument no longer has.
    """
    read = _checked if job.complaint == QUICK_CHECK else _worked_on
    strings = tuple(spec.string for spec in job.instrument.strings)
    now = read(job, strings, before, trade)
    return {string: known for string, known in now.items() if known is not None}


Clearances = dict[int, KnownClearance | None]


def _checked(
    job: Job, strings: tuple[int, ...], before: Mapping[int, KnownClearance], trade: TradeTables
) -> Clearances:
    """What was measured says more than a leaf that found nothing new."""
    found = {
        one.string: one for one in checked(job, before, trade) if one.moved in CHANGES_THE_RECORD
    }
    return {s: found[s].now if s in found else before.get(s) for s in strings}


def _worked_on(
    job: Job, strings: tuple[int, ...], before: Mapping[int, KnownClearance], trade: TradeTables
) -> Clearances:
    answered = as_answered(job, trade)
    return {string: _of_string(answered, string, before.get(string), trade) for string in strings}


def _of_string(
    job: Job, string: int, before: KnownClearance | None, trade: TradeTables
) -> KnownClearance | None:
    """What this job leaves, on top of what was known; that alone where nothing was read or done."""
    last_known_mm = before.clearance_mm if before else None
    belief = string_belief(job, string, trade, last_known_mm)
    if belief.measured:
        return KnownClearance.of(belief.believed)
    return None if belief.changed else before
