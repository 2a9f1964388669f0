"""The picture of one string over the first frets."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.presenters.string_picture import string_line
from logic.app.views import views
from logic.app.views.nut_views import StringPicture
from logic.app.wording.wording import Wording
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, job
from tests.logic.app.apps import fresh_app
from tests.logic.app.presenters.test_cutting import STRING, measured


def picture(clearance_mm: float) -> tuple[StringPicture, views.SlotPicture]:
    """The opened string of a guitar whose strings all stand so high, and its slot."""
    app = fresh_app()
    slot = measured(app, clearance_mm)
    plan = app.do(do.SeePlan(STRING))
    assert isinstance(plan, views.PlanView) and plan.line is not None
    return plan.line, slot


@settings(deadline=None, max_examples=8)
@given(st.floats(0.3, 1.0))
def test_lines_and_frets_are_similar_triangles(clearance_mm: float) -> None:
    """The string now passes over crown 1 at its estimate; a cut at the nut arrives over fret 1
    as 2^(-1/12) of itself and over fret 3 as 2^(-3/12) (equal temperament).
    """
    line, slot = picture(clearance_mm)
    first, _, last = line.crowns
    assert line.now is not None and slot.estimate_mm is not None
    over = line.now.nut_mm + (line.now.end_mm - line.now.nut_mm) * first.along_mm / last.along_mm
    assert over - first.height_mm == pytest.approx(slot.estimate_mm, abs=1e-6)
    at_nut, at_third = line.now.nut_mm - line.then.nut_mm, line.now.end_mm - line.then.end_mm
    assert at_third == pytest.approx(at_nut * 2 ** (-3 / 12), abs=1e-9)
    assert first.along_mm == pytest.approx(last.along_mm * (1 - 2 ** (-1 / 12)) / (1 - 2**-0.25))


def test_a_high_slot_shows_where_the_cut_leaves_it() -> None:
    """The line after the cut lies below the one now, inside the window, and words say all."""
    line, slot = picture(0.9)
    assert line.cut and line.now is not None
    assert line.then.nut_mm < line.now.nut_mm
    first, last = line.crowns[0], line.crowns[-1]
    after = line.then.nut_mm + (line.then.end_mm - line.then.nut_mm) * (
        first.along_mm / last.along_mm
    )
    assert slot.low_mm <= after - first.height_mm <= slot.high_mm
    for words in ("fret 1", "fret 2", "at the nut", "After the cut"):
        assert words in line.said


def test_a_plan_with_no_slot_opened_draws_no_string() -> None:
    """Only what is touched is drawn."""
    app = fresh_app()
    measured(app, 0.9)
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    assert plan.line is None


def test_one_fret_is_drawn_and_spoken_of_alone() -> None:
    """A board with a single fret has no second one to name, and the cut is drawn to its crown."""
    reading = {"string": 1, "clearance": "1.5 mm", "buzz": "none"}
    instrument = {"kind": "cigar-box guitar", "frets": 1}
    made = job(instrument, readings=[reading])
    (call,) = (one for one in make_plan(made, TRADE).strings if one.string == 1)
    line = string_line(call, made.instrument, TRADE, Wording())
    assert [crown.name for crown in line.crowns] == ["1"]
    assert "over fret 1 and" in line.said and "fret 2" not in line.said


def test_frets_of_a_dulcimer_carry_their_usual_names() -> None:
    """The second fret of a board with a 1½ is called so, in the picture and in its words."""
    reading = {"string": 1, "clearance": "0.5 mm", "buzz": "none"}
    instrument = {"kind": "mountain dulcimer", "board": {"semitones": [2, 3, 4, 5, 7]}}
    made = job(instrument, readings=[reading])
    (call,) = (one for one in make_plan(made, TRADE).strings if one.string == 1)
    line = string_line(call, made.instrument, TRADE, Wording())
    assert [crown.name for crown in line.crowns] == ["1", "1½", "2"]
    assert "over fret 1½" in line.said
