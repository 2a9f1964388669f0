"""The record that goes with the instrument: one sheet for its owner, one for the bench."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from logic.bench.checks.reasons import reason_said
from logic.bench.cutting.cutting import CutStep
from logic.bench.cutting.removal import SlotSeen
from logic.bench.cutting.slot_cut import SlotCut, slot_cut
from logic.bench.instrument.naming import cents_at
from logic.bench.plan.plan import make_plan
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.proof import Proven, proof_of, proven
from logic.bench.window.attack import BuzzObservation
from shared.job import Assumed, CallKind, Interval, Job, Pass, Plan, Proof, StringCall, Window
from shared.readings import Buzz
from shared.reasons import CallReason
from shared.words import mark, say

_NOT_DONE = {
    CallKind.LEAVE: mark("left alone: {reason}"),
    CallKind.LOWER: mark("not lowered: {reason}"),
    CallKind.RAISE: mark("not raised: {reason}"),
    CallKind.WIDEN: mark("not widened: {reason}"),
    CallKind.EASE: mark("to be eased: {reason}"),
    CallKind.CHECK_FIRST: mark("to be checked first: {reason}"),
    CallKind.READ_AGAIN: mark("to be read again: {reason}"),
}
"""A call that was not carried out, as a record says it."""
_STILL_OPEN = {
    CallKind.LEAVE: mark("lowered; left as it stands"),
    CallKind.LOWER: mark("lowered; still high"),
    CallKind.RAISE: mark("lowered; now to be raised"),
    CallKind.WIDEN: mark("lowered; still to be widened"),
    CallKind.EASE: mark("lowered; still to be eased"),
    CallKind.CHECK_FIRST: mark("lowered; still to be checked first"),
    CallKind.READ_AGAIN: mark("lowered; still to be read again"),
}
"""What is open on a slot that was filed and is not finished."""


@dataclass(frozen=True)
class StringWork:
    """One string: how it came in, what was done, how it leaves."""

    string: int
    name: str
    pitch: str
    gauge_mm: float
    found: StringCall
    left: StringCall
    passes: tuple[Pass, ...]
    step: CutStep | None
    """What its cut asks for next; None where it was never filed."""
    proof: Proven
    proof_note: str = ""
    own_target: bool = False
    """Whether the target is the player's own instead of the table's."""
    own_nut: int = 0
    """The fret where its own nut stands; 0 is the common nut."""

    @property
    def name_and_fret(self) -> str:
        """Its name, and over which fret it was read where that is not fret 1."""
        if not self.own_nut:
            return self.name
        return say("{name}, over fret {fret}", name=self.name, fret=self.own_nut + 1)

    @property
    def before(self) -> Interval | None:
        """Clearance before any pass."""
        return self.found.clearance_mm

    @property
    def after(self) -> Interval | None:
        """Clearance now; an untouched string keeps the one it came with."""
        return self.left.clearance_mm if self.passes else self.found.clearance_mm

    @property
    def window(self) -> Window:
        """Where it should stand."""
        return self.left.window_mm

    @property
    def strokes(self) -> int:
        """All strokes made in this slot."""
        return sum(made.strokes for made in self.passes)

    @property
    def outcome(self) -> str:
        """What was done, or why nothing was."""
        if self.passes:
            return self._where_it_ended()
        if self.found.reason == CallReason.NOT_READ:
            return say("not read")
        return say(_NOT_DONE[self.found.call], reason=reason_said(self.found))

    def _where_it_ended(self) -> str:
        """Filed: whether the cut is finished, and what is still open where it is not."""
        if self.step is CutStep.DONE or (self.step is CutStep.STOP and self.in_window):
            return say("lowered, now in its window")
        if self.step is CutStep.FILE:
            return say("lowered; not finished")
        return say(_STILL_OPEN[self.left.call])

    @property
    def in_window(self) -> bool:
        """Whether it stands between the edges of its window, as far as is known."""
        now = self.after
        return now is not None and self.window.low <= now.estimate <= self.window.high


@dataclass(frozen=True)
class LearnedRate:
    """What one file takes per stroke on this nut, with its 95 % interval; millimetres."""

    file_mm: float
    material: str
    a_stroke: Interval


@dataclass(frozen=True)
class HandOver:
    """Everything that both sheets are written from."""

    job: Job
    plan: Plan
    strings: tuple[StringWork, ...]
    rates: tuple[LearnedRate, ...]
    date: str = ""
    bench: str = ""
    technician: str = ""
    minutes: float | None = None


def hand_over(
    job: Job,
    trade: TradeTables,
    *,
    assumed: tuple[Assumed, ...] = (),
    seen_before: Iterable[SlotSeen] = (),
    date: str = "",
    bench: str = "",
    technician: str = "",
    minutes: float | None = None,
    heard_before: Iterable[BuzzObservation] = (),
) -> HandOver:
    """The record of one job as it stands. `seen_before` is what the bench knew of its files,
    `heard_before` what it knew of the player: it moves the windows, as it did while working.
    `minutes` is what the visit took.
    """
    seen_before, heard = tuple(seen_before), tuple(heard_before)
    found = make_plan(as_it_came_in(job), trade, assumed, heard_before=heard)
    plan = make_plan(job, trade, assumed, heard_before=heard)
    cuts = _cuts(job, trade, seen_before, technician, heard)
    own = tuple(cut.seen for cut in cuts.values())
    learned = _cuts(job, trade, (*seen_before, *own), technician, heard)
    calls = {
        call.string: (was, call) for was, call in zip(found.strings, plan.strings, strict=True)
    }
    order = sorted(calls, reverse=True)
    return HandOver(
        job=job,
        plan=plan,
        strings=tuple(_work(job, *calls[string], cuts.get(string)) for string in order),
        rates=_rates(learned.values()),
        date=date,
        bench=bench,
        technician=technician,
        minutes=minutes,
    )


def as_it_came_in(job: Job) -> Job:
    """The job with only the readings that were taken before each string was first filed."""
    first: dict[int, int] = {}
    for made in job.passes:
        first.setdefault(made.string, made.after)
    taken: dict[int, int] = {}
    kept = []
    for reading in job.readings:
        taken[reading.string] = taken.get(reading.string, 0) + 1
        if taken[reading.string] <= first.get(reading.string, len(job.readings)):
            kept.append(reading)
    return job.model_copy(update={"readings": tuple(kept), "passes": (), "proofs": ()})


def _work(job: Job, found: StringCall, left: StringCall, cut: SlotCut | None) -> StringWork:
    string = left.string
    spec = job.instrument.spec(string)
    proof = proof_of(job, string)
    return StringWork(
        string=string,
        name=job.instrument.name_of(string),
        pitch=spec.pitch.show(),
        gauge_mm=spec.gauge.mm,
        own_nut=spec.from_fret,
        found=found,
        left=left,
        passes=tuple(made for made in job.passes if made.string == string),
        step=cut.move.step if cut else None,
        proof=proven(job, string),
        proof_note=_proof_note(proof, job.instrument.board_fret(string, 1)) if proof else "",
        own_target=string in job.player.targets,
    )


def _proof_note(proof: Proof, fret: int) -> str:
    if proof.unproven:
        return say(proof.unproven)
    ring = say(_PROOF_SAID[proof.buzz])
    if proof.cents is None:
        return ring
    return say("{heard}; {cents}", heard=ring, cents=cents_at(proof.cents, fret))


_PROOF_SAID = {
    Buzz.NONE: mark("clean soft, normal and hard"),
    Buzz.UNKNOWN: mark("not played"),
    Buzz.SOFT: mark("buzzes from soft playing"),
    Buzz.NORMAL: mark("buzzes from normal playing"),
    Buzz.HARD: mark("buzzes from hard playing"),
}


def _cuts(
    job: Job,
    trade: TradeTables,
    seen_before: tuple[SlotSeen, ...],
    technician: str,
    heard: tuple[BuzzObservation, ...],
) -> dict[int, SlotCut]:
    """The cut of every string that was filed, as the bench was led through it."""
    strings = sorted({made.string for made in job.passes})
    return {s: slot_cut(job, s, trade, seen_before, technician, heard) for s in strings}


def _rates(cuts: Iterable[SlotCut]) -> tuple[LearnedRate, ...]:
    """What each file took per stroke on this nut, as learned by now."""
    rates: dict[float, LearnedRate] = {}
    for slot in cuts:
        low, middle, high = (slot.setting.rate.quantile_mm(q) for q in (0.025, 0.5, 0.975))
        stroke = Interval(estimate=middle, low=low, high=high)
        rates[slot.pair.file_mm] = LearnedRate(slot.pair.file_mm, slot.pair.material, stroke)
    return tuple(rates.values())
