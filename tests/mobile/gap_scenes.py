"""Views of relief and action to draw, made by the app itself."""

from __future__ import annotations

from dataclasses import replace

from logic.app.commands import commands as do
from logic.app.commands import string_commands as sdo
from logic.app.views import views
from shared.measurements import Posture
from shared.readings import Contact
from tests.logic.app.apps import fresh_app, view_of
from tests.logic.app.gap_hand import GapHand, whole_visit


def gap_scenes() -> dict[str, views.View]:
    """Relief before and after a touch, settled, mixed; action with a shank, predicted, settled; the
    pads; the list of what was measured."""
    app = fresh_app()
    whole_visit(app)
    made: dict[str, views.View] = {"relief": app.do(do.MeasureRelief())}
    made["relief with a trail"] = app.do(do.Feel(Contact.NONE))
    made["typing relief"] = app.do(do.TypeNumber("relief of a side"))
    made["relief refused"] = app.do(do.NumberTyped("90 mm"))
    app.do(do.Back())
    made["how relief is measured"] = app.do(do.SeeMeasured())
    made["relief in two postures"] = app.do(do.SetPosture(Posture.BACK))
    app.do(do.SetPosture(Posture.PLAYED))
    app.do(do.Back())
    GapHand().measure(app, app.do(do.MeasureRelief()))
    made["relief settled"] = app.do(do.MeasureRelief(6))
    made["relief afresh"] = app.do(sdo.ReadAfresh(6))
    action = made["action"] = view_of(app, do.MeasureAction(5), views.ActionView)
    made["typing action"] = app.do(do.TypeNumber("action of a string"))
    made["action refused"] = app.do(do.NumberTyped("0.09 mm"))
    app.do(do.Back())
    made["action settled"] = app.do(do.MeasureAction(6))
    made["action predicted"] = replace(
        action, predicted=True, prompt=views.Prompt.DONE, number="70 thou", unit=""
    )
    listed = view_of(app, do.SeeMeasured(), views.MeasuredView)
    made["how action is measured"] = listed
    made["putting a measurement right"] = app.do(sdo.Correct(listed.entries[0].event))
    return made
