"""The first minute: from an empty bench to the first call, every touch counted."""

from __future__ import annotations

from logic.app.commands import commands as do
from logic.app.views import views
from shared.readings import Buzz
from tests.logic.app.apps import Technician, fresh_app

DOZEN = 12
"""About as many touches as somebody new gives it before a first answer (no source)."""


def test_the_first_call_comes_within_a_dozen_touches() -> None:
    """New job, its kind, go on, all true, then only answers on the first string: whatever its
    height, the plan's first call for it needs no more than a dozen touches.
    """
    for clearance_mm in (0.15, 0.3, 0.45, 0.6, 0.75, 0.9):
        app, heights = fresh_app(), dict.fromkeys(range(1, 7), clearance_mm)
        hand = Technician(heights, dict.fromkeys(heights, Buzz.NONE))
        begun = (do.NewJob(), do.StartJob("electric guitar"), do.Ask(), do.AnswerAllYes())
        for command in begun:
            shown = app.do(command)
        touches = len(begun)
        while isinstance(shown, views.QuestionView):
            shown, touches = app.do(do.SkipRest()), touches + 1
        assert isinstance(shown, views.WalkView)
        first = shown.string
        while isinstance(shown, views.WalkView) and shown.string == first:
            shown, touches = app.do(hand.answer(shown)), touches + 1
        assert isinstance(shown, views.WalkView)
        (mark,) = [mark for mark in shown.marks if mark.string == first]
        assert mark.call is not None
        assert touches <= DOZEN
