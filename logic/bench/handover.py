"""The record that goes with the instrument: one sheet for its owner, one for the bench."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from logic.bench.attack import Heard
from logic.bench.cut_job import SlotCut, slot_cut
from logic.bench.cutting import Step
from logic.bench.plan import make_plan
from logic.bench.proof import Proven, proof_of, proven
from logic.bench.removal import SlotSeen
from logic.bench.trade import Trade
from shared.job import Assumed, CallKind, GateState, Interval, Job, Pass, Plan, StringCall, Window
from shared.units import Length, Unit

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
        low, high = (self._shown(mm, places) for mm in (interval.low, interval.high))
        return f"{self._shown(interval.estimate, places)} {self.unit} ({low} to {high})"

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
        ends = f"{self.bare(interval.low)} to {self.bare(interval.high)}"
        return f"{self.bare(interval.estimate)} ({ends})"


_LEFT = {
    CallKind.LEAVE: "left alone",
    CallKind.LOWER: "not lowered",
    CallKind.RAISE: "not raised",
    CallKind.WIDEN: "not widened",
    CallKind.CHECK_FIRST: "to be checked first",
    CallKind.READ_AGAIN: "to be read again",
}
"""A call that was not carried out, as a record says it."""


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
        return f"{_LEFT[self.found.call]}: {self.found.reason}"

    def _where_it_ended(self) -> str:
        """Filed: whether the cut is finished, and what is still open where it is not."""
        if self.step is Step.DONE or (self.step is Step.STOP and self.in_window):
            return "lowered, now in its window"
        if self.step is Step.FILE:
            return "lowered; not finished"
        return f"lowered; still {_LEFT[self.left.call]}"

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
    heard = {"none": "clean soft, normal and hard", "unknown": "not played"}
    said = heard.get(buzz, f"buzzes from {buzz} playing")
    return said if cents is None else f"{said}; {cents:+.0f} cents at fret 1"


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
    done = tuple(f"String {w.name}: {_proof_line(w)}" for w in work.strings if w.passes)
    not_done = tuple(
        f"String {w.name}: {w.outcome}. {w.found.why}" for w in work.strings if not w.passes
    )
    sections = (
        Section("Asked for", lines=(work.job.complaint,) if work.job.complaint else ()),
        Section(f"First-fret clearance, {numbers.unit}", rows=_before_after(work, numbers)),
        Section("Done", lines=done),
        Section("Left as it was", lines=not_done),
        Section("Good to know", lines=tuple(words["owner"]["value"])),
        Section("Next check", lines=(words["next_check"]["value"],)),
    )
    return _sheet("Set-up of the nut", work, sections, words["guidance"]["value"])


def bench_sheet(work: HandOver, trade: Trade, numbers: Numbers) -> Sheet:
    """For the bench: files, strokes, what was learned, what was assumed or skipped, the time."""
    nut = work.job.instrument.nut
    facts = [f"Nut: {nut.type.value}, {nut.material}"]
    if work.minutes is not None:
        facts.append(f"Time: {_duration(work.minutes)}")
    skipped = tuple(g.ask for g in work.plan.gates if g.state is GateState.SKIPPED)
    assumed = tuple(f"{a.field}: {a.value} ({a.why})" for a in work.plan.assumed)
    sections = (
        Section("The job", lines=tuple(facts)),
        Section(f"Slots, {numbers.unit}", rows=_before_after(work, numbers)),
        Section("Passes", rows=_passes(work, numbers)),
        Section("Learned", lines=tuple(_rate(rate, numbers) for rate in work.rates)),
        Section("Proof", lines=tuple(_bench_proof(w) for w in work.strings if w.passes)),
        Section("Skipped", lines=skipped),
        Section("Assumed", lines=assumed),
        Section("Cautions", lines=work.plan.cautions),
    )
    return _sheet("Bench record", work, sections, trade.tables["handover"]["guidance"]["value"])


def _duration(minutes: float) -> str:
    if minutes < 1:
        return "under a minute"
    return "1 minute" if round(minutes) == 1 else f"{minutes:.0f} minutes"


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
    title = f"{kind}: {instrument.label or instrument.kind}"
    parts = (work.bench, work.technician, work.date, instrument.kind if instrument.label else "")
    kept = tuple(section for section in sections if section.rows or section.lines)
    return Sheet(title, " · ".join(part for part in parts if part), kept, foot)


def _before_after(work: HandOver, numbers: Numbers) -> tuple[tuple[str, ...], ...]:
    head = ("string", "pitch", "before", "after", "target", "what was done")
    return (head, *(_row(each, numbers) for each in work.strings))


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
    return (("string", "file", "strokes", "by"), *rows) if rows else ()


def _proof_line(each: StringWork) -> str:
    if each.proof in (Proven.READ_FIRST, Proven.PLAY_IT):
        return f"{each.outcome}; not proven yet"
    if each.proof is Proven.EXCUSED:
        return f"{each.outcome}; closed without proof: {each.proof_note}"
    return f"{each.outcome}; {each.proof_note}"


def _bench_proof(each: StringWork) -> str:
    if each.proof is Proven.CLEAN:
        return f"String {each.name}: {each.proof_note}"
    note = f": {each.proof_note}" if each.proof_note else ""
    return f"String {each.name}: {each.proof.value}{note}"


def _rate(rate: LearnedRate, numbers: Numbers) -> str:
    file = f"{numbers.mm(rate.file_mm)} file on {rate.material}"
    return f"{file}: {numbers.fine(rate.a_stroke)} a stroke"
