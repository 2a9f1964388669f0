"""A cut that is begun on one device and carried on with on another, by a file handed over."""

from __future__ import annotations

from logic.app.commands import commands as do
from logic.app.presenters.handover import sheet_as_text
from logic.app.views import views
from shared.readings import Buzz
from tests.logic.app.apps import DiscApp, fresh_app, lasting
from tests.logic.app.presenters.test_cutting import STRING, Filer, measured

HIGH_MM, STROKE_MM = 0.8, 0.015


def hand_to(there: DiscApp, here: DiscApp) -> None:
    """The whole history of one device, as a file taken in on the other."""
    there.history.merge(here.history.export())
    there.session.history_changed()


def begun() -> tuple[DiscApp, Filer, views.View]:
    """A slot with one pass behind it, about to be read."""
    app, filer = fresh_app(), Filer(HIGH_MM, STROKE_MM)
    measured(app, HIGH_MM)
    shown = app.do(do.CutSlot(STRING))
    while not filer.strokes:
        shown = app.do(filer.one(shown))
    return app, filer, shown


def test_another_device_stands_where_the_cut_was_left() -> None:
    """After the file is taken in, the job opens at the same slot with the same thing to do next."""
    first, _, shown = begun()
    second = fresh_app()
    hand_to(second, first)
    assert isinstance(shown, views.WalkView)
    assert lasting(second.do(do.OpenJob(shown.job))) == lasting(shown)


def test_a_cut_finished_elsewhere_is_finished_here_too() -> None:
    """The second device files on, proves it and hands the history back: one job, every stroke."""
    first, filer, shown = begun()
    second = fresh_app()
    hand_to(second, first)
    assert isinstance(shown, views.WalkView)
    filer.work(second, second.do(do.OpenJob(shown.job)))
    second.do(do.Prove(STRING))
    second.do(do.Hear(Buzz.NONE))
    hand_to(first, second)
    document = first.history.job(shown.job)
    assert document is not None
    assert sum(each.pass_.made for each in document.passes) == filer.strokes
    assert first.do(do.OpenJob(shown.job)) == second.do(do.OpenJob(shown.job))
    first.do(do.SeeSheet())
    assert "in its window; clean soft, normal and hard" in sheet_as_text(first.session)


def test_passes_made_on_both_before_they_met_are_both_counted() -> None:
    """Two devices file the same slot apart: neither pass is lost, and the next step is to read."""
    first, _, shown = begun()
    second = fresh_app()
    hand_to(second, first)
    assert isinstance(shown, views.WalkView)
    for app in (first, second):
        app.do(do.OpenJob(shown.job))
        app.do(do.Filed(1))
    hand_to(first, second)
    document = first.history.job(shown.job)
    assert document is not None and [p.pass_.strokes for p in document.passes][1:] == [1, 1]
    again = first.do(do.OpenJob(shown.job))
    assert isinstance(again, views.WalkView) and again.prompt is views.Prompt.LEAF
