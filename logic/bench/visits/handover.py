"""The record that goes with the instrument: one sheet for its owner, one for the bench."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from logic.bench.checks.reasons import reason_said
from logic.bench.cutting.cutting import CutStep
from logic.bench.cutting.removal import SlotSeen
from logic.bench.cutting.slot_cut import SlotCut, filed_by_round, slot_cut
from logic.bench.instrument.fret_names import COUNTED, FretNames, fret_names
from logic.bench.instrument.naming import cents_at
from logic.bench.plan.plan import make_plan
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.work import WorkTable
from logic.bench.visits.proof import Proven, proof_of, proven
from logic.bench.visits.setup_record import SetupRecord, setup_record
from logic.bench.visits.stages import StringStage, came_in_mm, stages_of
from logic.bench.visits.work_words import done_in_words
from logic.bench.window.attack import BuzzObservation
from shared.job import Assumed, CallKind, Interval, Job, Pass, Plan, Proof, StringCall, Window
from shared.readings import Buzz
from shared.reasons import CallReason
from shared.words import mark, say
from shared.work import Work

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
_LEFT = {
    CallKind.LEAVE: mark("left alone. {why}"),
    CallKind.LOWER: mark("not lowered. {why}"),
    CallKind.RAISE: mark("not raised. {why}"),
    CallKind.WIDEN: mark("not widened. {why}"),
    CallKind.EASE: mark("to be eased. {why}"),
    CallKind.CHECK_FIRST: mark("to be checked first, {reason}. {why}"),
    CallKind.READ_AGAIN: mark("to be read again. {why}"),
}
"""The same with why in whole sentences, which say the reason too; what a check waits for is told
besides."""
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
_STANDS = {
    CallKind.LEAVE: mark("left as it stands"),
    CallKind.LOWER: mark("still high"),
    CallKind.RAISE: mark("still to be raised"),
    CallKind.WIDEN: mark("still to be widened"),
    CallKind.EASE: mark("still to be eased"),
    CallKind.CHECK_FIRST: mark("still to be checked first"),
    CallKind.READ_AGAIN: mark("still to be read again"),
}
"""How a string stands after other work, where it is not in its window."""


@dataclass(frozen=True)
class StringWork:
    """One string: how it came in, what was done, how it leaves."""

    string: int
    name: str
    pitch: str
    gauge_mm: float
    left: StringCall
    """The call as the plan has it now."""
    before: Interval | None
    """Where it stood as it came in; None where it was not read then."""
    stages: tuple[StringStage, ...]
    """What was known of it before each piece of work, and now."""
    step: CutStep | None
    """What its cut asks for next; None where it was never filed."""
    proof: Proven
    proof_note: str = ""
    own_target: bool = False
    """Whether the target is the player's own instead of the table's."""
    frets: FretNames = COUNTED
    """What the frets under it are called."""
    table: WorkTable = field(kw_only=True, repr=False)
    """What each kind of work is called."""

    @property
    def name_and_fret(self) -> str:
        """Its name, and over which fret it was read where that is not fret 1."""
        if not self.frets.nut_at:
            return self.name
        return say("{name}, over fret {fret}", name=self.name, fret=self.frets.first)

    @property
    def after(self) -> Interval | None:
        """Where it stands now, as the plan has it."""
        return self.left.clearance_mm

    @property
    def passes(self) -> tuple[Pass, ...]:
        """Every pass of a file, whatever work came between."""
        return tuple(made for stage in self.stages for made in stage.passes)

    @property
    def works(self) -> tuple[Work, ...]:
        """Work other than filing that touched it, oldest first."""
        return tuple(stage.ended_by for stage in self.stages if stage.ended_by is not None)

    @property
    def touched(self) -> bool:
        """Whether anything was done to it."""
        return bool(self.passes or self.works)

    @property
    def window(self) -> Window:
        """Where it should stand."""
        return self.left.window_mm

    @property
    def strokes(self) -> int:
        """All strokes made in this slot."""
        return sum(made.made for made in self.passes)

    @property
    def outcome(self) -> str:
        """What was done, or why nothing was."""
        if self.works:
            return self._where_work_ended()
        if self.passes:
            return self._where_it_ended()
        if self.left.reason == CallReason.NOT_READ:
            return say("not read")
        return say(_NOT_DONE[self.left.call], reason=reason_said(self.left))

    @property
    def left_because(self) -> str:
        """Why nothing was done to it, each thing said once."""
        if self.left.reason == CallReason.NOT_READ:
            return say("not read.")
        return say(_LEFT[self.left.call], reason=reason_said(self.left), why=self.left.why)

    def _where_work_ended(self) -> str:
        """Worked on: what was done, and how it stands or what is still open."""
        kinds = tuple(work.what for work in self.works)
        return say(
            "{done}; {stands}",
            done=done_in_words(kinds, self.table, filed=bool(self.passes)),
            stands=self.stands,
        )

    @property
    def stands(self) -> str:
        """How a string that was worked on stands now, in words."""
        if self.after is None:
            return say("not read since")
        if self.stages[-1].passes and self.step is CutStep.FILE and not self._ended_by_ear:
            return say("not finished")
        if self.in_window and self.left.call in (CallKind.LEAVE, CallKind.LOWER):
            return say("now in its window")
        return say(_STANDS[self.left.call])

    def _where_it_ended(self) -> str:
        """Filed: whether the cut is finished, and what is still open where it is not."""
        ended = self.step is CutStep.STOP or self._ended_by_ear
        if self.step is CutStep.DONE or (ended and self.in_window):
            return say("lowered, now in its window")
        if self.step is CutStep.FILE:
            return say("lowered; not finished")
        return say(_STILL_OPEN[self.left.call])

    @property
    def _ended_by_ear(self) -> bool:
        """Whether it was played and rang clean: who files may stop where more would be safe."""
        return self.proof is Proven.CLEAN

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
    setup: SetupRecord | None = None
    """Neck and action before and after; None where nothing of the kind was measured or done."""


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
    last_known_mm: Mapping[int, float] = MappingProxyType({}),
) -> HandOver:
    """The record of one job as it stands. `seen_before` is what the bench knew of its files,
    `heard_before` what it knew of the player: it moves the windows, as it did while working.
    `last_known_mm` are the clearances that earlier visits left on record, by string. `minutes` is
    what the visit took.
    """
    seen_before, heard = tuple(seen_before), tuple(heard_before)
    plan = make_plan(job, trade, assumed, last_known_mm, heard)
    came = came_in_mm(job, trade, last_known_mm)
    rounds = filed_by_round(job)
    cuts = [_cuts(each, trade, seen_before, heard) for each in rounds]
    seen = (*seen_before, *(cut.seen for each in cuts for cut in each.values()))
    learned = [_cuts(each, trade, seen, heard) for each in rounds]
    return HandOver(
        job=job,
        plan=plan,
        strings=tuple(
            _work(
                job,
                call,
                came[call.string],
                stages_of(job, call.string, trade, last_known_mm.get(call.string)),
                cuts[-1].get(call.string),
                trade.work,
            )
            for call in sorted(plan.strings, key=lambda call: -call.string)
        ),
        rates=_rates(cut for each in learned for cut in each.values()),
        date=date,
        bench=bench,
        technician=technician,
        minutes=minutes,
        setup=setup_record(job, trade),
    )


def _work(
    job: Job,
    left: StringCall,
    came: Interval | None,
    stages: tuple[StringStage, ...],
    cut: SlotCut | None,
    table: WorkTable,
) -> StringWork:
    string = left.string
    spec = job.instrument.spec(string)
    proof = proof_of(job, string)
    return StringWork(
        string=string,
        name=job.instrument.name_of(string),
        pitch=spec.pitch.show(),
        gauge_mm=spec.gauge.mm,
        frets=fret_names(job.instrument, string),
        left=left,
        before=came if len(stages) > 1 or stages[-1].passes else left.clearance_mm,
        stages=stages,
        step=cut.move.step if cut else None,
        proof=proven(job, string),
        proof_note=_proof_note(proof, fret_names(job.instrument, string).first) if proof else "",
        own_target=string in job.player.targets,
        table=table,
    )


def _proof_note(proof: Proof, fret: str) -> str:
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
    heard: tuple[BuzzObservation, ...],
) -> dict[int, SlotCut]:
    """The cut of every string that was filed, as the bench was led through it."""
    strings = sorted({made.string for made in job.passes})
    return {s: slot_cut(job, s, trade, seen_before, heard_before=heard) for s in strings}


def _rates(cuts: Iterable[SlotCut]) -> tuple[LearnedRate, ...]:
    """What each file took per stroke on this nut, as learned by now."""
    rates: dict[float, LearnedRate] = {}
    for slot in cuts:
        low, middle, high = (slot.setting.rate.quantile_mm(q) for q in (0.025, 0.5, 0.975))
        stroke = Interval(estimate=middle, low=low, high=high)
        rates[slot.pair.file_mm] = LearnedRate(slot.pair.file_mm, slot.pair.material, stroke)
    return tuple(rates.values())
