"""Every figure on every screen is in the bench's unit and with its decimal mark."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from logic.desk import commands as do
from logic.desk import views
from logic.desk.desk import Desk
from shared.job import Buzz
from tests.logic.desk.bench import Technician, fresh_desk, said, start, walking

FOREIGN = {
    "thou": r"\d mm\b",
    "in": r"\d mm\b|\d thou\b",
    "mm": r"\d thou\b|\d in\b",
}
"""Words that no screen may show where this unit is set."""


def session(desk: Desk) -> Iterator[views.View]:
    """Every room of the app, with a nut that needs everything."""
    yield desk.do(do.NewJob())
    yield start(desk)
    view: views.View = walking(desk)
    yield view
    hand = Technician(
        {6: 0.2, 5: 0.3, 4: 0.4, 3: 0.6, 2: 0.9, 1: 0.05}, dict.fromkeys(range(1, 7), Buzz.NORMAL)
    )
    for _ in range(50):
        if isinstance(view, views.WalkView):
            view = desk.do(hand.answer(view))
            yield view
    yield from (desk.do(do.SeePlan(string)) for string in (6, 3, 1))
    yield desk.do(do.GoHome())
    yield desk.do(do.SeeKit())


@pytest.mark.parametrize("unit", FOREIGN)
@pytest.mark.parametrize("mark", [".", ","])
def test_every_screen_speaks_the_bench_s_unit(unit: str, mark: str) -> None:
    """In thou, inch or millimetres, with point or comma, no screen slips into another."""
    desk = fresh_desk()
    desk.do(do.SetSetting("unit", unit))
    desk.do(do.SetSetting("mark", mark))
    wrong = re.compile(FOREIGN[unit] + (r"|\d\.\d" if mark == "," else r"|\d,\d"))
    texts = [text for view in session(desk) for text in said(view)]
    assert len(texts) > 200
    assert [text for text in texts if wrong.search(text)] == []


def test_the_walk_s_leaf_reads_in_every_unit_as_the_same_leaf() -> None:
    """20 thou is 0.020 in is 0.51 mm: an inch is 25.4 mm exactly (international yard, 1959)."""
    shown = {}
    for unit in FOREIGN:
        desk = fresh_desk()
        desk.do(do.SetSetting("unit", unit))
        view = walking(desk)
        shown[unit] = float(view.number)
        assert view.unit == unit
    assert shown["in"] == pytest.approx(shown["thou"] / 1000, abs=1e-9)
    assert shown["mm"] == pytest.approx(shown["thou"] * 0.0254, abs=0.005)


def test_a_setting_nobody_knows_is_read_as_the_default() -> None:
    """A unit written by a newer app does not break this one."""
    desk = fresh_desk()
    desk.do(do.SetSetting("unit", "fathom"))
    assert desk.settings["unit"] == "thou"
    assert walking(desk).unit == "thou"
