"""The cut of one slot and its proof, as views."""

from __future__ import annotations

from logic.bench.cut_job import SlotCut, cut_lines, slot_cut
from logic.bench.cutting import Step
from logic.bench.proof import cents_noted
from logic.bench.removal import SlotSeen
from logic.bench.walk import reach_from, walk_order
from logic.desk.open_job import OpenJob
from logic.desk.saying import reading_in_words
from logic.desk.views import CutView, Prompt, WalkView
from logic.desk.walking import marks_of, place_of
from logic.desk.wording import Wording
from shared.job import Interval


def cut_of(work: OpenJob, string: int, taught: tuple[SlotSeen, ...]) -> SlotCut:
    """Where the cut of one slot stands, from the job's own records."""
    return slot_cut(work.job, string, work.trade, taught, heard_before=work.heard)


def cut_view(
    work: OpenJob, slot: SlotCut, string: int, wording: Wording, title: str, saved: str
) -> CutView | WalkView:
    """A leaf to read between passes; else how many strokes now, or why to stop."""
    if slot.move.step is Step.READ:
        return _reading(work, slot, string, wording, title, saved)
    spec = work.job.instrument.spec(string)
    *lines, last = cut_lines(slot, work.trade, wording.unit, wording.decimal_mark)
    lead = _lead(slot, wording)
    return CutView(
        job=work.id,
        title=title,
        string=string,
        place=place_of(work.job.instrument, string),
        pitch=spec.pitch.show(),
        gauge=wording.gauge(spec.gauge),
        strokes=slot.move.strokes,
        lead=lead,
        lines=tuple(lines) if slot.move.step is Step.FILE else (*lines, last),
        numbers=_numbers(slot, wording),
        done=slot.move.step is Step.DONE,
        can_undo=bool(work.steps),
        spoken=last,
        saved=saved,
    )


def prove_view(work: OpenJob, string: int, wording: Wording, title: str) -> WalkView:
    """Play the finished string open; what is heard is its proof."""
    spec = work.job.instrument.spec(string)
    name = work.job.instrument.name_of(string)
    return WalkView(
        job=work.id,
        title=title,
        string=string,
        place=f"Prove string {name}",
        pitch=spec.pitch.show(),
        gauge=wording.gauge(spec.gauge),
        prompt=Prompt.BUZZ,
        number="Listen",
        unit="",
        reach="Play it open: soft, as usual, hard",
        trail=_trail(work, string, wording),
        estimate="",
        status=_noted(work, string, wording)
        or "The gentlest playing at which it buzzes is the answer.",
        marks=marks_of(work, string),
        can_undo=bool(work.steps),
        spoken=f"Prove string {name}: play it open, soft, as usual and hard",
    )


def _noted(work: OpenJob, string: int, wording: Wording) -> str:
    """What a tuner showed at fret 1, where that was typed."""
    cents = cents_noted(work.job, string)
    if cents is None:
        return ""
    shown = f"{cents:+g}".replace(".", wording.decimal_mark)
    return f"Noted: {shown} cents at fret 1."


def _reading(
    work: OpenJob, slot: SlotCut, string: int, wording: Wording, title: str, saved: str
) -> WalkView:
    spec = work.job.instrument.spec(string)
    leaves = slot.move.leaves
    side = reach_from(walk_order(work.job.instrument), string)
    number, unit = wording.stack(leaves), wording.length(leaves[0]).split()[1]
    *before, _ = cut_lines(slot, work.trade, wording.unit, wording.decimal_mark)
    reach = f"Slide in from the {side} side"
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
        trail=_trail(work, string, wording),
        estimate="" if before else wording.interval(slot.clearance_mm),
        status=" ".join(before) or saved,
        marks=marks_of(work, string),
        can_undo=bool(work.steps),
        spoken=f"{' '.join(before)} {reach}: {number} {unit}",
        saved=saved,
    )


def _trail(work: OpenJob, string: int, wording: Wording) -> tuple[str, ...]:
    readings = (reading for reading in work.job.readings if reading.string == string)
    return tuple(reading_in_words(reading, wording) for reading in readings)


def _lead(slot: SlotCut, wording: Wording) -> str:
    if slot.move.step is Step.DONE:
        return "On its target"
    if slot.move.step is Step.STOP:
        return "Stop here"
    file = slot.file.file
    light = "light stroke" if slot.move.strokes == 1 else "light strokes"
    return f"{light}, {wording.length(file)} file" if file else f"{light}: {slot.file.note}"


def _numbers(slot: SlotCut, wording: Wording) -> tuple[tuple[str, str], ...]:
    window = slot.bench.window
    ends = Interval(estimate=window.target_mm, low=window.low_mm, high=window.high_mm)
    rows = [
        ("Stands at, 95 %", wording.interval(slot.clearance_mm)),
        ("Stop line", wording.mm(slot.bench.stop_mm)),
        ("Target and window", wording.interval(ends)),
        ("So far", _so_far(slot)),
    ]
    if slot.move.strokes:
        past = f"{100 * slot.move.chance_past:.1f} %"
        rows.insert(2, ("Chance of going past it", past.replace(".", wording.decimal_mark)))
    return tuple(rows)


def _so_far(slot: SlotCut) -> str:
    passes = "1 pass" if slot.cut.passes == 1 else f"{slot.cut.passes} passes"
    strokes = "1 stroke" if slot.cut.strokes == 1 else f"{slot.cut.strokes} strokes"
    return f"{passes}, {strokes}"
