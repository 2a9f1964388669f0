"""An app with guitars that were measured, and a hand that goes through a check of one."""

from __future__ import annotations

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.views import views
from shared.readings import Buzz
from tests.logic.app.apps import DiscApp, Technician, fresh_app, walking

TRUTH = {6: 0.55, 5: 0.5, 4: 0.48, 3: 0.45, 2: 0.42, 1: 0.4}
CLEAN = dict.fromkeys(range(1, 7), Buzz.NONE)


def measured(count: int = 1) -> tuple[DiscApp, list[str]]:
    """An app that has measured so many guitars; their names, oldest first."""
    app, names = fresh_app(), []
    for _ in range(count):
        Technician(TRUTH, CLEAN).walk(app, walking(app), 60)
        names.append(str(app.session.work.document.instrument_id))
        app.do(do.CloseJob())
    return app, names


def through(
    app: DiscApp, shown: views.View, truth: dict[int, float]
) -> tuple[views.CheckedView, int]:
    """The result of a check of strings that stand as in `truth`, and the taps it took."""
    taps, hand = 0, Technician(truth, CLEAN)
    while isinstance(shown, views.CheckView):
        shown, taps = app.do(hand.answer(shown)), taps + 1
    assert isinstance(shown, views.CheckedView)
    return shown, taps


def check(app: DiscApp, name: str) -> views.CheckView:
    """The first string of a check."""
    shown = app.do(ido.QuickCheck(name))
    assert isinstance(shown, views.CheckView)
    return shown
