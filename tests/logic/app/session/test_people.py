"""Whose hand files: named once for the bench, chosen with a touch, kept with every pass."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from tests.logic.app.apps import DiscApp, fresh_app, restarted
from tests.logic.app.presenters.test_cutting import STRING, Filer, measured


def _under_the_file(app: DiscApp) -> views.CutView:
    measured(app, 0.9)
    shown, filer = app.do(do.CutSlot(STRING)), Filer(0.9, 0.015)
    while not isinstance(shown, views.CutView):
        shown = app.do(filer.one(shown))
    return shown


def _who(app: DiscApp, job: str) -> list[str]:
    document = app.history.job(job)
    assert document is not None
    return [made.technician for made in document.as_job().passes]


@pytest.mark.parametrize("people", ["", "Ada", " Ada , Ada,, "])
def test_a_bench_of_one_is_never_asked(people: str) -> None:
    """Fewer than two names: nothing to choose, and nobody is named in the pass."""
    app = fresh_app()
    app.do(do.SetSetting("people", people))
    shown = _under_the_file(app)
    assert shown.hands == ()
    app.do(do.Filed(2))
    assert _who(app, shown.job) == [""]


def test_the_hand_that_was_chosen_is_kept_with_the_pass() -> None:
    """One touch names who files; the pass says so, and the choice outlives a restart."""
    app = fresh_app()
    app.do(do.SetSetting("people", "Ada, Bo"))
    assert [hand.chosen for hand in _under_the_file(app).hands] == [False, False]
    shown = app.do(do.SetSetting("who", "Bo"))
    assert isinstance(shown, views.CutView)
    assert [hand.key for hand in shown.hands if hand.chosen] == ["Bo"]
    app.do(do.Filed(2))
    assert _who(app, shown.job) == ["Bo"]
    assert restarted(app).session.who == "Bo"


def test_what_one_hand_taught_is_not_taken_for_another() -> None:
    """A file is known in the hand that filed with it; another hand begins with three strokes."""
    app = fresh_app()
    app.do(do.SetSetting("people", "Ada, Bo"))
    app.do(do.SetSetting("who", "Ada"))
    measured(app, 0.9)
    Filer(0.9, 0.015).work(app, app.do(do.CutSlot(STRING)))
    ada = _under_the_file(app)
    bo = app.do(do.SetSetting("who", "Bo"))
    assert isinstance(bo, views.CutView)
    assert bo.strokes == 3 < ada.strokes
