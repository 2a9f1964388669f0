"""The record that goes with the instrument: one sheet for its owner, one for the bench."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from logic.bench.attack import Heard
from logic.bench.cut_job import SlotCut, slot_cut
from logic.bench.cutting import Step
from logic.bench.plan import make_plan
from logic.bench.proof import Proven, proof_of, proven
from logic.bench.reasons import reason_said
from logic.bench.removal import SlotSeen
from logic.bench.trade import Trade
from shared.job import (
    Assumed,
    Buzz,
    CallKind,
    GateState,
    Interval,
    Job,
    Pass,
    Plan,
    StringCall,
    Window,
)
from shared.units import Length, Unit
from shared.words import mark, say, say_as, say_many

_PLACES = {Unit.THOU: 1, Unit.INCH: 4, Unit.MM: 2, Unit.MICRON: 0}


@dataclass(frozen=True)
class Numbers:
    """How this bench writes lengths."""

    unit: Unit = Unit.THOU
    decimal_mark: str = "."

    def bare(self, mm: float) -> str:
        """The number alone."""
        return self._shown(mm, _PLACES[self.unit])

    def fine(self, interval: Interval) -> str:
        """An estimate and its range to one place more, with the unit."""
        places = _PLACES[self.unit] + 1
        low, middle, high = (
            self._shown(mm, places) for mm in (interval.low, interval.estimate, interval.high)
        )
        return say("{middle} ({low} to {high})", middle=f"{middle} {self.unit}", low=low, high=high)

    def _shown(self, mm: float, places: int) -> str:
        shown = Length.of(round(mm, 6)).show(
            self.unit, places=places, decimal_mark=self.decimal_mark
        )
        return shown.split()[0]

    def mm(self, mm: float) -> str:
        """The number with its unit."""
        return f"{self.bare(mm)} {self.unit}"

    def interval(self, interval: Interval | None) -> str:
        """An estimate and its range; a dash where nothing was measured."""
        if interval is None:
            return "–"
        return say(
            "{middle} ({low} to {high})",
            middle=self.bare(interval.estimate),
            low=self.bare(interval.low),
            high=self.bare(interval.high),
        )


_LEFT = {
    CallKind.LEAVE: mark("left alone: {reason}"),
    CallKind.LOWER: mark("not lowered: {reason}"),
    CallKind.RAISE: mark("not raised: {reason}"),
    CallKind.WIDEN: mark("not widened: {reason}"),
    CallKind.CHECK_FIRST: mark("to be checked first: {reason}"),
    CallKind.READ_AGAIN: mark("to be read again: {reason}"),
}
"""A call that was not carried out, as a record says it."""
_STILL = {
    CallKind.LEAVE: mark("lowered; still left alone"),
    CallKind.LOWER: mark("lowered; still not lowered"),
    CallKind.RAISE: mark("lowered; still not raised"),
    CallKind.WIDEN: mark("lowered; still not widened"),
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
    step: Step | None
    """What its cut asks for next; None where it was never filed."""
    proof: Proven
    proof_note: str = ""

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
        return say(_LEFT[self.found.call], reason=reason_said(self.found.reason))

    def _where_it_ended(self) -> str:
        """Filed: whether the cut is finished, and what is still open where it is not."""
        if self.step is Step.DONE or (self.step is Step.STOP and self.in_window):
            return say("lowered, now in its window")
        if self.step is Step.FILE:
            return say("lowered; not finished")
        return say(_STILL[self.left.call])

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


@dataclass(frozen=True)
class Section:
    """A heading, a table with its head row first, and lines."""

    heading: str
    rows: tuple[tuple[str, ...], ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """One sheet, before it becomes text or a page."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]
    foot: str = ""


def hand_over(
    job: Job,
    trade: Trade,
    *,
    assumed: tuple[Assumed, ...] = (),
    taught: Iterable[SlotSeen] = (),
    date: str = "",
    bench: str = "",
    technician: str = "",
    minutes: float | None = None,
    heard_before: Iterable[Heard] = (),
) -> HandOver:
    """The record of one job as it stands. `taught` is what the bench knew of its files before,
    `heard_before` what it knew of the player: it moves the windows, as it did while working.
    """
    taught, heard = tuple(taught), tuple(heard_before)
    found = make_plan(as_it_came_in(job), trade, assumed, heard_before=heard)
    plan = make_plan(job, trade, assumed, heard_before=heard)
    cuts = _cuts(job, trade, taught, technician, heard)
    own = tuple(cut.taught for cut in cuts.values())
    learned = _cuts(job, trade, (*taught, *own), technician, heard)
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
        found=found,
        left=left,
        passes=tuple(made for made in job.passes if made.string == string),
        step=cut.move.step if cut else None,
        proof=proven(job, string),
        proof_note=_proof_note(proof.buzz.value, proof.cents, proof.unproven) if proof else "",
    )


def _proof_note(buzz: str, cents: float | None, excuse: str) -> str:
    if excuse:
        return excuse
    said = say(_HEARD[Buzz(buzz)])
    if cents is None:
        return said
    return say("{heard}; {cents:+.0f} cents at fret 1", heard=said, cents=cents)


_HEARD = {
    Buzz.NONE: mark("clean soft, normal and hard"),
    Buzz.UNKNOWN: mark("not played"),
    Buzz.SOFT: mark("buzzes from soft playing"),
    Buzz.NORMAL: mark("buzzes from normal playing"),
    Buzz.HARD: mark("buzzes from hard playing"),
}


def _cuts(
    job: Job,
    trade: Trade,
    taught: tuple[SlotSeen, ...],
    technician: str,
    heard: tuple[Heard, ...],
) -> dict[int, SlotCut]:
    """The cut of every string that was filed, as the bench was led through it."""
    strings = sorted({made.string for made in job.passes})
    return {s: slot_cut(job, s, trade, taught, technician, heard) for s in strings}


def _rates(cuts: Iterable[SlotCut]) -> tuple[LearnedRate, ...]:
    """What each file took per stroke on this nut, as learned by now."""
    told: dict[float, LearnedRate] = {}
    for slot in cuts:
        low, middle, high = (slot.bench.rate.quantile_mm(q) for q in (0.025, 0.5, 0.975))
        stroke = Interval(estimate=middle, low=low, high=high)
        told[slot.pair.file_mm] = LearnedRate(slot.pair.file_mm, slot.pair.material, stroke)
    return tuple(told.values())


def owner_sheet(work: HandOver, trade: Trade, numbers: Numbers) -> Sheet:
    """For the owner: how it came in and how it leaves, what was not done and why, what next."""
    words = trade.tables["handover"]
    done = tuple(_of_string(w, _proof_line(w)) for w in work.strings if w.passes)
    not_done = tuple(
        _of_string(w, f"{w.outcome}. {w.found.why}") for w in work.strings if not w.passes
    )
    sections = (
        Section(say("Asked for"), lines=(work.job.complaint,) if work.job.complaint else ()),
        Section(
            say("First-fret clearance, {unit}", unit=numbers.unit),
            rows=_before_after(work, numbers),
        ),
        Section(say("Done"), lines=done),
        Section(say("Left as it was"), lines=not_done),
        Section(say("Good to know"), lines=tuple(map(say, words["owner"]["value"]))),
        Section(say("Next check"), lines=(say(words["next_check"]["value"]),)),
    )
    return _sheet(_OWNERS, work, sections, words["guidance"]["value"])


def bench_sheet(work: HandOver, trade: Trade, numbers: Numbers) -> Sheet:
    """For the bench: files, strokes, what was learned, what was assumed or skipped, the time."""
    nut = work.job.instrument.nut
    facts = [say("Nut: {type}, {material}", type=say(nut.type.value), material=say(nut.material))]
    if work.minutes is not None:
        facts.append(say("Time: {time}", time=_duration(work.minutes)))
    skipped = tuple(g.ask for g in work.plan.gates if g.state is GateState.SKIPPED)
    assumed = tuple(f"{a.field}: {a.value} ({a.why})" for a in work.plan.assumed)
    sections = (
        Section(say("The job"), lines=tuple(facts)),
        Section(say("Slots, {unit}", unit=numbers.unit), rows=_before_after(work, numbers)),
        Section(say("Passes"), rows=_passes(work, numbers)),
        Section(say("Learned"), lines=tuple(_rate(rate, numbers) for rate in work.rates)),
        Section(say("Proof"), lines=tuple(_bench_proof(w) for w in work.strings if w.passes)),
        Section(say("Skipped"), lines=skipped),
        Section(say("Assumed"), lines=assumed),
        Section(say("Cautions"), lines=work.plan.cautions),
    )
    return _sheet(_BENCHS, work, sections, trade.tables["handover"]["guidance"]["value"])


_CLEARANCE = mark("First-fret clearance, {unit}")
_OWNERS, _BENCHS = mark("Set-up of the nut: {instrument}"), mark("Bench record: {instrument}")


def _of_string(each: StringWork, told: str) -> str:
    return say("String {name}: {told}", name=each.name, told=told)


def _duration(minutes: float) -> str:
    if minutes < 1:
        return say("under a minute")
    return say_many("{count} minute", "{count} minutes", round(minutes))


def as_text(sheet: Sheet) -> str:
    """The sheet as plain text, fit for a message."""
    blocks = [f"{sheet.title}\n{sheet.subtitle}".strip()]
    for section in sheet.sections:
        body = [*_text_rows(section.rows), *(f"- {line}" for line in section.lines)]
        blocks.append("\n".join([section.heading.upper(), *body]))
    return "\n\n".join([*blocks, sheet.foot]) + "\n"


def _text_rows(rows: tuple[tuple[str, ...], ...]) -> list[str]:
    if not rows:
        return []
    head, *body = rows
    return [" · ".join(head), *(" · ".join(row) for row in body)]


def _sheet(kind: str, work: HandOver, sections: tuple[Section, ...], foot: str) -> Sheet:
    instrument = work.job.instrument
    title = say(kind, instrument=instrument.label or say(instrument.kind))
    kind_too = say(instrument.kind) if instrument.label else ""
    parts = (work.bench, work.technician, work.date, kind_too)
    kept = tuple(section for section in sections if section.rows or section.lines)
    return Sheet(title, " · ".join(part for part in parts if part), kept, say(foot))


def _before_after(work: HandOver, numbers: Numbers) -> tuple[tuple[str, ...], ...]:
    head = (say("string"), say("pitch"), say("before"), say("after"), say("target"))
    return ((*head, say("what was done")), *(_row(each, numbers) for each in work.strings))


def _row(each: StringWork, numbers: Numbers) -> tuple[str, ...]:
    before, after = numbers.interval(each.before), numbers.interval(each.after)
    target = numbers.bare(each.window.target)
    return (each.name, each.pitch, before, after, target, each.outcome)


def _passes(work: HandOver, numbers: Numbers) -> tuple[tuple[str, ...], ...]:
    rows = tuple(
        (
            each.name,
            numbers.mm(made.file.mm) if made.file else "–",
            str(made.strokes),
            made.technician or "–",
        )
        for each in work.strings
        for made in each.passes
    )
    head = (say("string"), say("file"), say("strokes"), say_as("technician", "by"))
    return (head, *rows) if rows else ()


def _proof_line(each: StringWork) -> str:
    if each.proof in (Proven.READ_FIRST, Proven.PLAY_IT):
        return say("{outcome}; not proven yet", outcome=each.outcome)
    if each.proof is Proven.EXCUSED:
        told = {"outcome": each.outcome, "why": each.proof_note}
        return say("{outcome}; closed without proof: {why}", **told)
    return f"{each.outcome}; {each.proof_note}"


def _bench_proof(each: StringWork) -> str:
    if each.proof is Proven.CLEAN:
        return _of_string(each, each.proof_note)
    note = f": {each.proof_note}" if each.proof_note else ""
    return _of_string(each, f"{say(each.proof.value)}{note}")


def _rate(rate: LearnedRate, numbers: Numbers) -> str:
    return say(
        "{file} file on {material}: {amount} a stroke",
        file=numbers.mm(rate.file_mm),
        material=say(rate.material),
        amount=numbers.fine(rate.a_stroke),
    )
