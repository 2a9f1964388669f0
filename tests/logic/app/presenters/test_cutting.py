"""A slot under the file, from its call to its proof, as the app leads through it."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.views import views
from logic.bench.what_if.dial import Dial
from shared.events import Kind
from shared.job import CallKind
from shared.readings import Buzz
from shared.units import Length
from tests.logic.app.apps import (
    DiscApp,
    Technician,
    events,
    fresh_app,
    lasting,
    restarted,
    walking,
)

STRING = 3


@dataclass
class Filer:
    """Files one slot as told and reads it as asked; each stroke takes what it takes."""

    clearance_mm: float
    stroke_mm: float
    lowest_mm: float = 9.0
    strokes: int = 0

    def work(self, app: DiscApp, shown: views.View, most: int = 60) -> views.CutView:
        """Do what the app says until it says to file no more."""
        for _ in range(most):
            if isinstance(shown, views.CutView) and shown.strokes == 0:
                return shown
            shown = app.do(self.one(shown))
        raise AssertionError("the cut comes to no end")

    def one(self, shown: views.View) -> do.Command:
        """The one thing that the screen asks for."""
        if isinstance(shown, views.CutView):
            self.strokes += shown.strokes
            self.clearance_mm -= shown.strokes * self.stroke_mm / (1 + shown.half)
            self.lowest_mm = min(self.lowest_mm, self.clearance_mm)
            return do.Filed(shown.strokes, shown.half)
        assert isinstance(shown, views.WalkView)
        hand = Technician({STRING: self.clearance_mm}, {STRING: Buzz.NONE})
        return hand.answer(shown)


def measured(app: DiscApp, clearance_mm: float) -> views.SlotPicture:
    """A guitar whose strings all stand so high, walked; the slot that is to be cut."""
    view = walking(app)
    hand = Technician(
        dict.fromkeys(range(1, 7), clearance_mm), dict.fromkeys(range(1, 7), Buzz.NONE)
    )
    plan, _ = hand.walk(app, view, 60)
    assert isinstance(plan, views.PlanView)
    return next(slot for slot in plan.slots if slot.string == STRING)


@settings(max_examples=12, deadline=None)
@given(
    above_mm=st.floats(0.1, 0.5),
    stroke_mm=st.floats(0.006, 0.03),
)
def test_a_slot_filed_as_told_ends_in_its_window(above_mm: float, stroke_mm: float) -> None:
    """Whatever a stroke takes, within reason, doing as told never leaves a slot too low."""
    app = fresh_app()
    slot = measured(app, 0.45 + above_mm)
    filer = Filer(0.45 + above_mm, stroke_mm)
    filer.work(app, app.do(do.CutSlot(STRING)))
    assert slot.low_mm <= filer.lowest_mm <= slot.high_mm
    assert filer.strokes > 0


def at_the_file(app: DiscApp) -> views.CutView:
    """The cut of a slot that stands high, read until it says how many strokes to make."""
    measured(app, 0.9)
    shown = app.do(do.CutSlot(STRING))
    filer = Filer(0.9, 0.015)
    while not isinstance(shown, views.CutView):
        shown = app.do(filer.one(shown))
    return shown


def test_strokes_are_recorded_with_the_file_and_the_readings_before_them() -> None:
    """A pass is kept as it was made: the count, the file in hand, the material, when."""
    app = fresh_app()
    shown = at_the_file(app)
    app.do(do.Filed(2))
    job = app.history.job(shown.job)
    assert job is not None
    (made,) = job.as_job().passes
    taken = [reading for reading in job.as_job().readings if reading.string == STRING]
    assert (made.string, made.strokes, made.after) == (STRING, 2, len(taken))
    assert made.file is not None and made.material == job.instrument.nut.material


@pytest.mark.parametrize("strokes", [0, -1, 10_000])
def test_a_count_of_strokes_that_nobody_makes_is_not_kept(strokes: int) -> None:
    """An absurd count is asked back, in the cut's own place, and nothing is recorded."""
    app = fresh_app()
    shown = at_the_file(app)
    before = events(app)
    again = app.do(do.Filed(strokes))
    assert isinstance(again, views.CutView)
    assert again.saved != shown.saved
    assert events(app) == before


def test_half_strokes_are_recorded_as_made_and_in_whole_ones_for_older_apps() -> None:
    """Three half strokes are on record as three, and as one whole one, rounded down, for apps that
    know of no others; one half stroke is one. Undo names what it takes back."""
    app = fresh_app()
    at_the_file(app)
    for made, whole in ((3, 1), (1, 1), (4, 2)):
        after = app.do(do.Filed(made, half=True))
        body = next(e.body for e in reversed(events(app)) if e.kind == Kind.PASS_FILED)["pass"]
        assert (body["strokes"], body["half_strokes"]) == (whole, made)
        assert isinstance(after, views.WalkView) and f"{made} half stroke" in after.saved
        app.do(do.Undo())
    app.do(do.Filed(2))
    body = next(e.body for e in reversed(events(app)) if e.kind == Kind.PASS_FILED)["pass"]
    assert "half_strokes" not in body


def test_a_pass_can_be_undone_and_the_cut_goes_on_from_before_it() -> None:
    """Undo takes the last strokes back: the cut is again as it was."""
    app = fresh_app()
    shown = at_the_file(app)
    app.do(do.Filed(shown.strokes))
    assert lasting(app.do(do.Undo())) == lasting(shown)
    assert events(app)[-1].kind in (Kind.UNDONE, Kind.PLACE_MOVED)


def test_a_cut_is_taken_up_where_the_power_went() -> None:
    """After every step of a cut a restart shows the very same step."""
    app = fresh_app()
    measured(app, 0.8)
    shown = app.do(do.CutSlot(STRING))
    filer = Filer(0.8, 0.02)
    while not (isinstance(shown, views.CutView) and shown.strokes == 0):
        shown = app.do(filer.one(shown))
        assert isinstance(shown, views.CutView | views.WalkView)
        again = restarted(app).do(do.OpenJob(shown.job))
        assert lasting(again) == lasting(shown)


def test_a_proof_closes_the_string() -> None:
    """The finished string, played open and clean, is told as proven by the plan."""
    app = fresh_app()
    measured(app, 0.7)
    done = Filer(0.7, 0.015).work(app, app.do(do.CutSlot(STRING)))
    prove = app.do(do.Prove(STRING))
    assert isinstance(prove, views.WalkView) and prove.prompt is views.Prompt.BUZZ
    plan = app.do(do.Hear(Buzz.NONE))
    assert isinstance(plan, views.PlanView)
    job = app.history.job(done.job)
    assert job is not None
    (proof,) = job.as_job().proofs
    assert (proof.string, proof.buzz) == (STRING, Buzz.NONE)
    line = next(line for line in plan.lines if line.string == STRING)
    assert line.call is not CallKind.LOWER


def test_what_if_turns_every_dial_and_records_nothing_but_the_place() -> None:
    """Six dials up and down: each says where it stands, and the job stays as it was."""
    app = fresh_app()
    measured(app, 0.6)
    plan = app.do(do.SeePlan())
    start = app.do(do.WhatIf())
    assert isinstance(start, views.WhatIfView) and not start.changed
    before = events(app)
    for dial in Dial:
        turned = [app.do(do.Turn(dial, steps)) for steps in (1, -1, -1)]
        assert all(isinstance(view, views.WhatIfView) for view in turned)
        shown = {_dial(view, dial) for view in turned}
        assert len(shown) >= 2, dial
    forgotten = app.do(do.ForgetWhatIf())
    assert forgotten == start
    assert events(app) == before
    assert app.do(do.Back()) == plan


def _dial(view: views.View, dial: Dial) -> str:
    assert isinstance(view, views.WhatIfView)
    return next(each.value for each in view.dials if each.key == dial)


@settings(max_examples=10, deadline=None)
@given(above_mm=st.floats(0.12, 0.45), stroke_mm=st.floats(0.006, 0.03), undo_at=st.integers(1, 4))
def test_a_slot_stays_above_the_stop_line_whatever_is_undone_or_cut_short(
    above_mm: float, stroke_mm: float, undo_at: int
) -> None:
    """A reading is taken back once and the power fails once: still no pass ends below the line that
    the screen names as the one to stop at."""
    app = fresh_app()
    measured(app, 0.45 + above_mm)
    filer, shown = Filer(0.45 + above_mm, stroke_mm), app.do(do.CutSlot(STRING))
    for count in range(60):
        if isinstance(shown, views.CutView) and shown.strokes == 0:
            break
        step = filer.one(shown)
        shown = app.do(step)
        if count == undo_at and not isinstance(step, do.Filed):
            shown = app.do(do.Undo())
        if count == undo_at + 1:
            app = restarted(app)
            shown = app.do(do.OpenJob(_job_id(shown)))
    assert isinstance(shown, views.CutView)
    stop = Length.parse(dict(shown.numbers)["Never below"])
    assert filer.lowest_mm >= stop.mm - 0.013  # shown to half a thou


def _job_id(view: views.View) -> str:
    assert isinstance(view, views.CutView | views.WalkView)
    return view.job


def test_the_plan_remembers_where_a_filed_string_stood() -> None:
    """After the work the slot's picture has its height before it; the others have none."""
    app = fresh_app()
    before = measured(app, 0.9)
    Filer(0.9, 0.015).work(app, app.do(do.CutSlot(STRING)))
    plan = app.do(do.SeePlan(STRING))
    assert isinstance(plan, views.PlanView)
    stood = {slot.string: slot.before_mm for slot in plan.slots}
    assert stood.pop(STRING) == pytest.approx(before.estimate_mm, abs=0.02)
    assert set(stood.values()) == {None}
    (line,) = [line for line in plan.lines if line.string == STRING]
    assert "Before the work" in dict(line.numbers)


def test_the_screen_says_how_hard_a_half_stroke_is_and_only_there() -> None:
    """Wherever half strokes are asked for, a line says with which pressure; of light ones
    none does."""
    app = fresh_app()
    measured(app, 0.9)
    filer, kinds = Filer(0.9, 0.03), set()
    shown = app.do(do.CutSlot(STRING))
    while not isinstance(shown, views.CutView) or shown.strokes:
        if isinstance(shown, views.CutView):
            assert ("half the pressure" in shown.pressure) == shown.half
            assert not any("half the pressure" in line for line in shown.lines)
            kinds.add(shown.half)
        shown = app.do(filer.one(shown))
    assert kinds == {False, True}
