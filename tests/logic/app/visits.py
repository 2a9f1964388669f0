"""Visits of the whole instrument, begun and looked at."""

from __future__ import annotations

from logic.app.commands import visit_commands as vdo
from logic.app.views import views
from shared.setup import Scope
from tests.logic.app.apps import DiscApp, start


def whole(app: DiscApp, scope: Scope = Scope.WHOLE) -> views.View:
    """A visit for more than the nut, at its stages."""
    start(app)
    app.do(vdo.ChooseScope(scope))
    return app.do(vdo.SeeStages())


def standing(app: DiscApp, part: str) -> views.PartStanding:
    """How far a part of the visit is."""
    page = app.do(vdo.SeeStages())
    assert isinstance(page, views.StagesView)
    return next(line.standing for line in page.lines if line.part == part)
