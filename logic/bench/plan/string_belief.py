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

A step of the set-up that moved the string ends nothing: what was read before it is moved and
widened by what the step may have done, and is where the readings after it start. Until one is taken
the string is stale, and known no more than a filed one.
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
from logic.bench.setup.segments import RecordsBetween, moved_on, segments
from logic.bench.setup.sensitivity import STILL, Move
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
    stale: bool = False
    """Whether a step moved it since it was read, so that what was read only says where to start."""
    since: Move = STILL
    """What has moved it since, by less than makes a reading stale."""

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
        found = believed_after(self.start, answers, self.trade.reading, self.geometry)
        return found if self.since == STILL else found.moved(self.since.mm, self.since.sd_mm)

    @property
    def clearance_mm(self) -> Interval | None:
        """Its clearance and 95 % interval; None where it is not known."""
        return clearance_interval(self.believed) if self.measured else None

    @property
    def changed(self) -> bool:
        """Whether it no longer stands as it came in."""
        return self.filed or self.worked or self.stale


def string_belief(
    job: Job, string: int, trade: TradeTables, last_known_mm: float | None = None
) -> StringBelief:
    """What is believed of one string of `job`, which is as it was answered. `last_known_mm` is what
    earlier visits left on record; KeyError when there is no such string."""
    geometry = string_geometry(job.instrument, string, trade)
    start, wide = _start(job, string, trade, last_known_mm), kind_prior(job.instrument.kind, trade)
    *earlier, last = segments(job, string, trade)
    for segment in earlier:
        start = _moved(segment, job, string, start, wide, geometry, trade)
    held = last.of(job)
    proofs = _typed_at_proofs(job, string)
    unread = bool(earlier) and not last.readings
    stale = unread and bool(proofs or any(one.readings for one in earlier))
    readings = (*since_last_pass(held, string), *(() if unread else proofs))
    below = trade.call.contradiction_below
    return StringBelief(
        readings=readings,
        answers=height_evidence(readings, string, below, trade.reading, geometry),
        start=after_last_pass(held, string, trade, start) or start,
        filed=was_filed(job, string),
        worked=was_worked_on(job, string),
        geometry=geometry,
        trade=trade,
        stale=stale,
        since=last.moved,
    )


def _moved(
    segment: RecordsBetween,
    job: Job,
    string: int,
    start: Posterior,
    wide: Posterior,
    geometry: StringGeometry,
    trade: TradeTables,
) -> Posterior:
    """Where the next readings start: what was believed before the string was moved, moved."""
    held = segment.of(job)
    begun = after_last_pass(held, string, trade, start) or start
    readings, below = since_last_pass(held, string), trade.call.contradiction_below
    answers = height_evidence(readings, string, below, trade.reading, geometry)
    believed = believed_after(begun, answers, trade.reading, geometry)
    return moved_on(believed, segment.moved, wide, trade.cutting.something_else_probability)


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
    """What is believed before anything was read or filed."""
    kind = job.instrument.kind
    if last_known_mm is not None and not was_worked_on(job, string):
        return last_known_prior(kind, last_known_mm, trade)
    return kind_prior(kind, trade)
