"""The cut of one slot and its proof, as views."""

from __future__ import annotations

from logic.app.presenters.walk import marks_of, place_of, played_open, slid_in_from, string_named
from logic.app.session.open_job import OpenedJob
from logic.app.views.pieces import Choice
from logic.app.views.views import CutView, Prompt, WalkView
from logic.app.wording.calls import reading_in_words
from logic.app.wording.strokes import strokes_in_words
from logic.app.wording.wording import Wording
from logic.bench.cutting.cutting import CutStep
from logic.bench.cutting.removal import SlotSeen
from logic.bench.cutting.slot_cut import SlotCut, cut_lines, slot_cut
from logic.bench.instrument.fret_names import fret_names
from logic.bench.instrument.naming import first_fret_in_words
from logic.bench.plan.walk import reach_from, walk_order
from logic.bench.visits.proof import cents_noted
from shared.amounts import CentsAmount
from shared.job import Interval
from shared.words import numeral, say, say_many


def cut_of(work: OpenedJob, string: int, seen_before: tuple[SlotSeen, ...], who: str) -> SlotCut:
    """Where the cut of one slot stands, from the job's own records, in the hand of `who`."""
    return slot_cut(work.job, string, work.trade, seen_before, who, work.heard)


def cut_view(
    work: OpenedJob,
    slot: SlotCut,
    string: int,
    wording: Wording,
    title: str,
    saved: str,
    hands: tuple[Choice, ...] = (),
) -> CutView | WalkView:
    """A leaf to read between passes; else how many strokes now, or why to stop."""
    if slot.move.step is CutStep.READ:
        return _leaf_view(work, slot, string, wording, title, saved)
    spec = work.job.instrument.spec(string)
    *lines, last = cut_lines(slot, work.trade)
    lead = _lead_in_words(slot, wording)
    return CutView(
        job=work.id,
        title=title,
        string=string,
        place=place_of(work.job.instrument, string),
        pitch=spec.pitch.show(),
        gauge=wording.gauge(spec.gauge),
        strokes=slot.move.strokes,
        half=slot.move.half,
        lead=lead,
        pressure=_pressure(slot) if slot.move.step is CutStep.FILE else "",
        lines=tuple(lines) if slot.move.step is CutStep.FILE else (*lines, last),
        numbers=_cut_figures(slot, wording),
        done=slot.move.step is CutStep.DONE,
        can_undo=bool(work.steps),
        spoken=last,
        saved=saved,
        name=string_named(work.job.instrument.name_of(string)),
        hands=hands if slot.move.strokes else (),
        proves=slot.to_be_proved,
    )


def prove_view(work: OpenedJob, string: int, wording: Wording, title: str) -> WalkView:
    """Play the finished string open; what is heard is its proof."""
    spec = work.job.instrument.spec(string)
    name = work.job.instrument.name_of(string)
    reach, how, where = played_open()
    return WalkView(
        job=work.id,
        title=title,
        string=string,
        place=say("Prove string {name}", name=name),
        pitch=spec.pitch.show(),
        gauge=wording.gauge(spec.gauge),
        prompt=Prompt.BUZZ,
        number=say("Buzzes?"),
        unit="",
        reach=reach,
        trail=_readings_so_far(work, string, wording),
        estimate="",
        status=_noted_cents(work, string, wording)
        or say("The gentlest playing at which it buzzes is the answer."),
        marks=marks_of(work, string),
        can_undo=bool(work.steps),
        spoken=say("Prove string {name}: play it open, soft, as usual and hard", name=name),
        how=how,
        where=where,
    )


def _noted_cents(work: OpenedJob, string: int, wording: Wording) -> str:
    """What a tuner showed at fret 1, where that was typed."""
    cents = cents_noted(work.job, string)
    if cents is None:
        return ""
    return say(
        "Noted: {cents} at fret {fret}.",
        cents=CentsAmount(cents),
        fret=fret_names(work.job.instrument, string).first,
    )


def _leaf_view(
    work: OpenedJob, slot: SlotCut, string: int, wording: Wording, title: str, saved: str
) -> WalkView:
    spec = work.job.instrument.spec(string)
    leaves = slot.move.leaves
    side = reach_from(walk_order(work.job.instrument), string)
    number, unit = wording.stack_and_unit(leaves)
    *before, _ = cut_lines(slot, work.trade)
    instrument = work.job.instrument
    reach, how, where = slid_in_from(side, over=first_fret_in_words(instrument, string))
    return WalkView(
        job=work.id,
        title=title,
        string=string,
        place=place_of(work.job.instrument, string),
        pitch=spec.pitch.show(),
        gauge=wording.gauge(spec.gauge),
        prompt=Prompt.LEAF,
        number=number,
        unit=unit,
        reach=reach,
        trail=_readings_so_far(work, string, wording),
        estimate="" if before else wording.interval(slot.clearance_mm),
        status=" ".join(before) or saved,
        marks=marks_of(work, string),
        can_undo=bool(work.steps),
        spoken=f"{' '.join(before)} {reach}: {number} {unit}",
        saved=saved,
        name=string_named(work.job.instrument.name_of(string)),
        how=how,
        where=where,
    )


def _readings_so_far(work: OpenedJob, string: int, wording: Wording) -> tuple[str, ...]:
    readings = (reading for reading in work.job.readings if reading.string == string)
    return tuple(reading_in_words(reading, work.job.instrument, wording) for reading in readings)


def _lead_in_words(slot: SlotCut, wording: Wording) -> str:
    if slot.move.step is CutStep.DONE:
        return say("Good enough") if slot.move.near else say("On its target")
    if slot.move.under:
        return say("Too low")
    if slot.move.step is CutStep.STOP:
        return say("Stop here")
    file, strokes = slot.file.file, slot.move.strokes
    if file is None:
        return f"{_kind_of_strokes(strokes, half=slot.move.half)}: {slot.file.note}"
    if slot.move.half:
        return say_many(
            "half stroke, {file} file",
            "half strokes, {file} file",
            strokes,
            file=wording.tool(file),
        )
    return say_many(
        "light stroke, {file} file",
        "light strokes, {file} file",
        strokes,
        file=wording.tool(file),
    )


def _pressure(slot: SlotCut) -> str:
    """What a half stroke is, where such are asked for; a light one needs no words."""
    return say("With half the pressure of a light stroke.") if slot.move.half else ""


def _kind_of_strokes(count: int, *, half: bool) -> str:
    if half:
        return say("half stroke") if count == 1 else say("half strokes")
    return say("light stroke") if count == 1 else say("light strokes")


def _cut_figures(slot: SlotCut, wording: Wording) -> tuple[tuple[str, str], ...]:
    window = slot.setting.window
    ends = Interval(estimate=window.target_mm, low=window.low_mm, high=window.high_mm)
    rows = [
        (say("Stands at (95 % range)"), wording.interval(slot.clearance_mm)),
        (say("Never below"), wording.mm(slot.setting.stop_mm)),
        (say("Target and window"), wording.interval(ends)),
        (say("So far"), _filed_so_far(slot)),
    ]
    if slot.move.strokes:
        past = numeral(100 * slot.move.chance_past, ".1f")
        rows.insert(2, (say("Chance of ending below"), f"{past} %"))
    return tuple(rows)


def _filed_so_far(slot: SlotCut) -> str:
    passes = say_many("{count} pass", "{count} passes", slot.cut.passes)
    whole, half = slot.cut.strokes, slot.cut.half_strokes
    made = [strokes_in_words(whole, half=False)] if whole or not half else []
    made += [strokes_in_words(half, half=True)] if half else []
    return ", ".join((passes, *made))
