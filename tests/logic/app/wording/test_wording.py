"""Every figure on every screen is in the bench's unit and with its decimal mark."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.views import views
from logic.bench.what_if.dial import Dial
from logic.testing import usual_kit
from shared.events import Kind
from shared.readings import Buzz, Contact
from shared.words import FigureStyle, current, use
from tests.logic.app.apps import Technician, fresh_app, said, start, walking

FOREIGN = {
    "thou": r"\d mm\b",
    "in": r"\d mm\b|\d thou\b",
    "mm": r"\d thou\b|\d\.\d+ in\b",
}
"""Words that no screen may show where this unit is set."""


def session(app: App) -> Iterator[views.View]:
    """Every room of the app, with a nut that needs everything."""
    yield app.do(do.NewJob())
    yield start(app)
    view: views.View = walking(app)
    yield view
    hand = Technician(
        {6: 0.2, 5: 0.3, 4: 0.4, 3: 0.6, 2: 0.9, 1: 0.05}, dict.fromkeys(range(1, 7), Buzz.NORMAL)
    )
    for _ in range(50):
        if isinstance(view, views.WalkView):
            view = app.do(hand.answer(view))
            yield view
    yield from (app.do(do.SeePlan(string)) for string in (6, 3, 1))
    shown = app.do(do.CutSlot(2))
    for _ in range(12):
        yield shown
        if isinstance(shown, views.CutView):
            break
        assert isinstance(shown, views.WalkView)
        shown = app.do(hand.answer(shown))
    yield app.do(do.Filed(3))
    yield app.do(do.Prove(2))
    yield app.do(do.WhatIf())
    yield app.do(do.Turn(Dial.RELIEF, 1))
    yield app.do(do.GoHome())
    yield app.do(do.SeeKit())


@pytest.mark.parametrize("unit", FOREIGN)
@pytest.mark.parametrize("mark", [".", ","])
def test_every_screen_speaks_the_bench_s_unit(unit: str, mark: str) -> None:
    """In thou, inch or millimetres, with point or comma, no screen slips into another."""
    app = fresh_app()
    app.do(do.SetSetting("unit", unit))
    app.do(do.SetSetting("mark", mark))
    wrong = re.compile(FOREIGN[unit] + (r"|\d\.\d" if mark == "," else r"|\d,\d"))
    texts = [text for view in session(app) for text in said(view)]
    assert len(texts) > 200
    assert [text for text in texts if wrong.search(text)] == []


def test_the_walk_s_leaf_reads_in_every_unit_as_the_same_leaf() -> None:
    """Of a kit in thousandths, 20 thou is 0.020 in is 0.51 mm: an inch is 25.4 mm exactly
    (international yard, 1959)."""
    shown = {}
    for unit in FOREIGN:
        app = fresh_app()
        app.do(do.SetSetting("unit", unit))
        app.history.record(Kind.KIT_SAVED, {"kit": "bench", "value": usual_kit()})
        view = walking(app)
        shown[unit] = float(view.number)
        assert view.unit == unit
    assert shown["in"] == pytest.approx(shown["thou"] / 1000, abs=1e-9)
    assert shown["mm"] == pytest.approx(shown["thou"] * 0.0254, abs=0.005)


def test_a_setting_nobody_knows_is_read_as_the_default() -> None:
    """A unit written by a newer app does not break this one."""
    app = fresh_app()
    app.do(do.SetSetting("unit", "fathom"))
    assert app.settings["unit"] == "thou"
    assert walking(app).unit == "thou"


def test_what_was_said_in_another_unit_is_said_anew() -> None:
    """A plan that stands on the screen changes its sentences with the unit, and changes back."""
    app = fresh_app()
    start(app)
    view = walking(app)
    assert isinstance(view, views.WalkView)
    seen: dict[str, list[str]] = {}
    for unit in ("thou", "mm", "in", "thou"):
        app.do(do.SetSetting("unit", unit))
        texts = list(said(app.do(do.SeePlan(6))))
        assert [text for text in texts if re.search(FOREIGN[unit], text)] == []
        assert seen.setdefault(unit, texts) == texts
    assert len({tuple(texts) for texts in seen.values()}) == 3


def test_an_app_that_was_just_opened_speaks_the_unit_that_was_set_before() -> None:
    """Not only the touch that sets a unit makes it the one that is spoken."""
    app = fresh_app()
    app.do(do.SetSetting("unit", "mm"))
    use(style=FigureStyle())
    App(app.history, app.trade, app._new_id)
    assert current().style.unit == "mm"


def test_what_contradicts_is_said_in_the_bench_s_unit() -> None:
    """The two leaves that cannot both be right are named as they are marked on the screen."""
    app = fresh_app()
    app.do(do.SetSetting("unit", "mm"))
    app.do(do.SetSetting("mark", ","))
    view = walking(app)
    for contact in (Contact.NONE, Contact.HEAVY) * 3:
        app.do(do.Walk(6))
        app.do(do.Feel(contact))
    texts = [*said(app.do(do.Walk(6))), *said(app.do(do.SeePlan(6)))]
    assert any(f"{view.number} mm" in text for text in texts)
    wrong = re.compile(FOREIGN["mm"] + r"|\d\.\d")
    assert [text for text in texts if wrong.search(text)] == []
