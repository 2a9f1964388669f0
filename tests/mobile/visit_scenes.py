"""Views of a visit of the whole instrument, made by an app that goes through one."""

from __future__ import annotations

from functools import cache

from logic.app.commands import commands as do
from logic.app.commands import visit_commands as vdo
from logic.app.views import views
from shared.setup import Scope
from tests.logic.app.apps import fresh_app, start

LIKES, NEVER, DUE = "As low as it goes without a rattle", "Its old nut", "On Friday"
"""What the player said."""


@cache
def visit_scenes() -> dict[str, views.View]:
    """Every screen of a whole visit, from what it is for to the question after a turn."""
    app = fresh_app()
    start(app)
    made: dict[str, views.View] = {"intake of a whole visit": app.do(vdo.ChooseScope(Scope.WHOLE))}
    made["what a visit is for"] = app.do(vdo.SeeVisit())
    app.do(vdo.SeeStages())
    made["player"] = app.do(vdo.OpenPart("player"))
    app.do(vdo.SavePlayer(LIKES, NEVER, DUE, False))
    made["look"] = app.do(vdo.OpenPart("look"))
    made["stages"] = app.do(vdo.SeeStages())
    made["stages before a skip"] = app.do(vdo.SkipPart("relief"))
    made["what was done"] = app.do(vdo.SeeStepDone())
    app.do(vdo.SeeStepDone("turn"))
    made["the rod"] = app.do(vdo.CountEighths(-1))
    app.do(vdo.SeeStepDone("saddle"))
    made["the saddle"] = app.do(vdo.SaddleAt(6))
    made["the strings"] = app.do(vdo.SeeStepDone("strings"))
    app.do(do.AnswerGate("at_pitch", "yes"))
    app.do(vdo.SeeStepDone("turn"))
    made["in tune again"] = app.do(vdo.TurnedRod())
    return made
