"""The loops of a day at the bench, each done by a thumb on drawn screens that counts its taps."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.views import views
from logic.app.views.pieces import Choice
from logic.app.views.plan_views import NextStep
from shared.readings import Buzz
from shared.units import Length, Unit
from tests.mobile.thumb import Hand, Thumb

ELECTRIC = "electric guitar"
IN_WINDOW_MM = {6: 0.50, 5: 0.46, 4: 0.45, 3: 0.43, 2: 0.42, 1: 0.41}
"""Heights at which nothing is to be done on an electric guitar (common practice, no source)."""
HIGH_MM = dict.fromkeys(range(1, 7), 0.8)
ONE_HIGH_MM = IN_WINDOW_MM | {6: 0.8}
STROKE_MM = 0.016
"""What one stroke takes off the clearance at this made-up slot."""
STRAIGHT_ON = (NextStep.CUT, NextStep.PROVE)
"""Steps of a plan that lead to the slot; a question that it would rather have answered first may
wait where the line of the string offers the cut."""
LEAVES_THOU = (10, 12, 14, 16, 18, 20, 22, 25)
FILES_THOU = (10, 13, 17, 26, 36, 46)
"""What this bench owns: any eight and six of the sizes that the trade sells."""


@dataclass(frozen=True)
class SlotTaps:
    """What one slot took from the plan to its proof."""

    readings: int
    passes: int
    others: int
    """Taps that are neither a reading nor a pass."""

    @property
    def all(self) -> int:
        """Every tap."""
        return self.readings + self.passes + self.others


def to_first_call(thumb: Thumb, relief_mm: str = "") -> int:
    """From home by a preset, nothing complained of, to the first string that has its call; relief
    typed where it is asked for, if a figure is given."""
    hand = Hand(thumb, IN_WINDOW_MM, relief_mm=relief_mm)
    hand.begins(ELECTRIC)
    thumb.until(_has_a_call, hand.answers)
    return len(thumb.taps)


def _has_a_call(view: views.View) -> bool:
    """Whether a string's call can be read: in the row of strings, or over what is asked next."""
    if isinstance(view, views.WalkView):
        return any(mark.call for mark in view.marks)
    return isinstance(view, views.PreconditionsView) and bool(view.called)


def to_first_leaf_of_a_buzz(thumb: Thumb) -> int:
    """From home with one buzzing string to the first leaf that is asked for."""
    hand = Hand(thumb, IN_WINDOW_MM)
    hand.begins(ELECTRIC)
    thumb.tap("said-buzz open")
    thumb.tap("tie-3")
    thumb.until(lambda view: isinstance(view, views.WalkView), hand.answers)
    return len(thumb.taps)


def to_plan(thumb: Thumb, heights_mm: dict[int, float] | None = None) -> int:
    """From home to the plan of six strings, all of them high where nothing else is given."""
    hand = Hand(thumb, heights_mm or HIGH_MM)
    hand.begins(ELECTRIC)
    thumb.until(lambda view: isinstance(view, views.PlanView), hand.answers)
    return len(thumb.taps)


def slot_to_proof(thumb: Thumb) -> SlotTaps:
    """From the plan of one high slot until it is proved."""
    to_plan(thumb, ONE_HIGH_MM)
    thumb.taps.clear()
    hand = Hand(thumb, dict(ONE_HIGH_MM))
    readings = passes = 0
    proved = False
    while not proved:
        match thumb.view:
            case views.CutView() as cut if cut.strokes:
                hand.clearances_mm[cut.string] -= cut.strokes * STROKE_MM / (1 + cut.half)
                passes += 1
                thumb.tap("filed")
            case views.WalkView() as asked:
                readings += 1
                proved = asked.prompt is views.Prompt.BUZZ
                hand.answers()
            case views.PlanView() as plan:
                straight = plan.next is not None and plan.next.step in STRAIGHT_ON
                thumb.tap(*(("next",) if straight else ()), "cut", "line-6")
            case _:
                thumb.tap("prove")
    return SlotTaps(readings, passes, len(thumb.taps) - readings - passes)


def quick_check(thumb: Thumb) -> int:
    """From the page of an instrument that was measured through its quick check of six strings, none
    of which has moved."""
    to_plan(thumb)
    thumb.goes_home()
    thumb.tap("instruments")
    thumb.tap(*thumb.marks("instrument-"))
    thumb.taps.clear()
    thumb.tap("quick-check")
    hand = Hand(thumb, HIGH_MM, dict.fromkeys(HIGH_MM, Buzz.NONE))
    thumb.until(lambda view: isinstance(view, views.CheckedView), hand.answers)
    return len(thumb.taps)


def plan_reopened(thumb: Thumb) -> int:
    """From home back to the plan of a job that was left there."""
    to_plan(thumb)
    thumb.goes_home()
    thumb.taps.clear()
    job = thumb.marks("job-")[0]
    thumb.until(lambda view: isinstance(view, views.PlanView), lambda: thumb.tap(job))
    return len(thumb.taps)


def kit_of_eight_and_six(thumb: Thumb) -> int:
    """From home to a kit of eight leaves and six files and no others."""
    thumb.tap("kit")
    if thumb.offers("none-here"):
        thumb.tap("none-here")
    for sort, mark, wanted in (("leaves", "leaf", LEAVES_THOU), ("files", "file", FILES_THOU)):
        sizes = {Length.of(size, Unit.THOU) for size in wanted}
        for choice in _sizes(thumb, sort):
            if (Length.parse(choice.key) in sizes) is not choice.chosen:
                thumb.tap(f"{mark}-{choice.key}")
    assert _owned(thumb, "leaves") == {Length.of(size, Unit.THOU) for size in LEAVES_THOU}
    assert _owned(thumb, "files") == {Length.of(size, Unit.THOU) for size in FILES_THOU}
    return len(thumb.taps)


def common_kit(thumb: Thumb) -> int:
    """From home to a kit of one set of leaves and one of files as they are sold, and no others."""
    thumb.tap("kit")
    thumb.tap("none-here")
    thumb.tap(*thumb.marks("set-leaves"))
    thumb.tap(*thumb.marks("set-files"))
    assert _owned(thumb, "leaves") and _owned(thumb, "files")
    return len(thumb.taps)


def _sizes(thumb: Thumb, sort: str) -> tuple[Choice, ...]:
    view = thumb.view
    assert isinstance(view, views.KitView)
    shown: tuple[Choice, ...] = getattr(view, sort)
    return shown


def _owned(thumb: Thumb, sort: str) -> set[Length]:
    return {Length.parse(choice.key) for choice in _sizes(thumb, sort) if choice.chosen}
