"""The slots of one job before and after, as the player sees them: clearance over the first crown.

Heights are drawn larger than life, and the picture says by how much. For each string a bar spans
its window with a tick at the target; an open ring is where it stood, a full one where it stands.
"""

from __future__ import annotations

from logic.bench.visits.handover import HandOver, StringWork
from logic.drawing.page import Anchor, PageElement, TextRun, box, disc, line
from shared.job import Interval
from shared.words import say

EXAGGERATION = 25
_TALLEST_MM = 1.2
"""Clearances above this are drawn at the top edge."""


def slots_picture(work: HandOver, left: float, top: float, width: float) -> list[PageElement]:
    """The picture with its legend; `height_mm` tall."""
    base = top + _TALLEST_MM * EXAGGERATION
    order = work.strings if not work.job.instrument.left_handed else work.strings[::-1]
    step = width / max(len(order), 1)
    elements: list[PageElement] = [line((left, base), (left + width, base), 0.3)]
    for place, each in enumerate(order):
        elements += _column(each, left + (place + 0.5) * step, base)
    legend = say(
        "Clearance over the first crown (base line), heights ×{times}. Bar: window, tick: "
        "target. Open ring: before, full: after; thin line: 95 %.",
        times=EXAGGERATION,
    )
    return [*elements, TextRun((left, base + 9), legend, 7)]


def height_mm() -> float:
    """How much room the picture takes, legend included."""
    return _TALLEST_MM * EXAGGERATION + 12


def _column(each: StringWork, x: float, base: float) -> list[PageElement]:
    window = each.window
    top, bottom = (_y(mm, base) for mm in (window.high, window.low))
    elements: list[PageElement] = [
        box(x - 1.2, top, 2.4, bottom - top, fill=0.88),
        line((x - 2.4, _y(window.target, base)), (x + 2.4, _y(window.target, base)), 0.3),
        TextRun((x, base + 4), each.name, 8, anchor=Anchor.MIDDLE),
    ]
    if each.frets.nut_at:
        fret = say("over fret {fret}", fret=each.frets.first)
        elements.append(TextRun((x, base + 6.6), fret, 6, anchor=Anchor.MIDDLE))
    if each.before:
        elements += _ring(each.before, x - 4.5, base, full=not each.touched)
    if each.touched and each.after:
        elements += _ring(each.after, x + 4.5, base, full=True)
    return elements


def _ring(found: Interval, x: float, base: float, *, full: bool) -> list[PageElement]:
    ends = line((x, _y(found.low, base)), (x, _y(found.high, base)), 0.15)
    return [ends, disc((x, _y(found.estimate, base)), 1.0, fill=0.0 if full else 1.0)]


def _y(clearance_mm: float, base: float) -> float:
    return base - min(max(clearance_mm, 0.0), _TALLEST_MM) * EXAGGERATION
