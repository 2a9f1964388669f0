"""Where one string stands by everything on record: the one place that says so.

The plan, both sheets, the instrument's page, its trend and the quick check all ask here, so that a
clearance is the same wherever it is read. What counts is what was read since the slot was last
changed; before that stands

    nothing known     what is likely of its kind; so, too, once work at this visit changed it,
    an earlier visit  mostly the clearance that it left on record,
    a filed slot      what its cut leads to expect, with its wide interval.

The clearance typed at a proof is a number like any other, and the last one. A slot that was changed
and not read since is known no more: what its cut leads to expect is where the next reading starts,
and no figure of a record.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from logic.bench.cutting.slot_cut import after_last_pass
from logic.bench.instrument.string_geometry import StringGeometry, string_geometry
from logic.bench.measuring.contradictions import HeightEvidence, believed_after, height_evidence
from logic.bench.measuring.grid import Posterior
from logic.bench.measuring.posterior import kind_prior, last_known_prior
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Interval, Job
from shared.readings import ClearanceReading, Reading


@dataclass(frozen=True)
class StringBelief:
    """What is believed of one string's clearance, and what that rests on."""

    readings: tuple[Reading, ...]
    """Those that count, oldest first."""
    answers: tuple[HeightEvidence, ...]
    """What they say of the height."""
    start: Posterior
    """What was believed before them."""
    filed: bool
    """Whether a file has been in its slot since the last work that ended its readings."""
    worked: bool
    """Whether such work was done at this visit."""
    geometry: StringGeometry
    trade: TradeTables

    @property
    def measured(self) -> bool:
        """Whether anything was read that speaks of its height as it now stands."""
        return bool(self.answers)

    @cached_property
    def believed(self) -> Posterior:
        """What all its answers leave believed."""
        return self.after(self.answers)

    def after(self, answers: Iterable[HeightEvidence]) -> Posterior:
        """What some of its answers would leave believed."""
        return believed_after(self.start, answers, self.trade.reading, self.geometry)

    @property
    def clearance_mm(self) -> Interval | None:
        """Its clearance and 95 % interval; None where it is not known."""
        return clearance_interval(self.believed) if self.measured else None

    @property
    def changed(self) -> bool:
        """Whether it no longer stands as it came in."""
        return self.filed or self.worked


def string_belief(
    job: Job, string: int, trade: TradeTables, last_known_mm: float | None = None
) -> StringBelief:
    """What is believed of one string of `job`, which is as it was answered. `last_known_mm` is what
    earlier visits left on record; KeyError when there is no such string."""
    geometry = string_geometry(job.instrument, string, trade)
    readings = (*since_last_pass(job, string), *_typed_at_proofs(job, string))
    below = trade.call.contradiction_below
    return StringBelief(
        readings=readings,
        answers=height_evidence(readings, string, below, trade.reading, geometry),
        start=_start(job, string, trade, last_known_mm),
        filed=was_filed(job, string),
        worked=was_worked_on(job, string),
        geometry=geometry,
        trade=trade,
    )


def clearance_interval(believed: Posterior) -> Interval:
    """An estimate and its 95 % interval, as plans and records hold them."""
    low, high = believed.interval(0.95)
    return Interval(estimate=round(believed.median, 4), low=round(low, 4), high=round(high, 4))


def since_last_pass(job: Job, string: int) -> tuple[Reading, ...]:
    """The readings of `string` as it stands now: a pass of the file ends the earlier ones."""
    own = tuple(reading for reading in job.readings if reading.string == string)
    return own[max((done.after for done in job.passes if done.string == string), default=0) :]


def was_filed(job: Job, string: int) -> bool:
    """Whether a file has been in its slot since the last work that ended its readings."""
    return any(made.string == string for made in job.passes)


def was_worked_on(job: Job, string: int) -> bool:
    """Whether work other than filing has touched it at this visit, so that what was known of it
    before is known no more."""
    return any(string in done.work.strings for done in job.rounds)


def _typed_at_proofs(job: Job, string: int) -> tuple[Reading, ...]:
    return tuple(
        ClearanceReading(string=string, clearance=proof.clearance)
        for proof in job.proofs
        if proof.string == string and proof.clearance is not None
    )


def _start(job: Job, string: int, trade: TradeTables, last_known_mm: float | None) -> Posterior:
    """What is believed before the readings that count."""
    kind = job.instrument.kind
    start = kind_prior(kind, trade)
    if last_known_mm is not None and not was_worked_on(job, string):
        start = last_known_prior(kind, last_known_mm, trade)
    return after_last_pass(job, string, trade, start) or start
