"""A visit of the whole instrument, and a hand that measures what is true of its neck."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.views import views
from shared.events import Kind
from shared.readings import Contact
from shared.units import Length
from tests.logic.app.apps import start

NECK = (0.24, 0.20)
"""Relief of a neck that is as it should be, bass and treble side, millimetres."""
STRINGS = {6: 1.95, 5: 1.9, 4: 1.85, 3: 1.75, 2: 1.65, 1: 1.6}
"""Action of an electric guitar that is as it should be, millimetres."""


def whole_visit(app: App, kind: str = "electric guitar", scope: str = "whole") -> None:
    """A job on this kind of instrument, in tune, that is for the whole of it."""
    start(app, kind)
    app.session.record(Kind.CHECK_ANSWERED, gate="at_pitch", answer="yes")
    app.session.record(Kind.SETUP_CHOSEN, field="scope", value=scope)


@dataclass
class GapHand:
    """Slides in what the screen says and answers what is true; counts its touches."""

    relief_mm: tuple[float, float] = NECK
    """Bass and treble side."""
    action_mm: Mapping[int, float] = field(default_factory=lambda: STRINGS)
    touches: int = 0

    def answer(self, view: views.WalkView) -> do.Command:
        """What this hand answers to what is asked."""
        self.touches += 1
        if isinstance(view, views.ActionView) and view.predicted:
            return do.AsPredicted()
        gap, drags = self._gap(view)
        for size in view.number.split(" + "):
            gap -= Length.parse(f"{size} {view.unit}").mm
        if abs(gap) <= drags:
            return do.Feel(Contact.LIGHT)
        return do.Feel(Contact.NONE if gap > 0 else Contact.HEAVY)

    def _gap(self, view: views.WalkView) -> tuple[float, float]:
        """The gap there, and half the band in which something just drags, wider under a string
        that gives way more (statics of a string: 2.35 and 4.7 times fret 1)."""
        if isinstance(view, views.ReliefView):
            here = next(side for side, mark in enumerate(view.marks) if mark.here)
            return self.relief_mm[here], 0.035
        return self.action_mm[view.string], 0.07

    def measure(self, app: App, view: views.View, most: int = 40) -> views.View:
        """Answer until nothing more is measured; the view it ends in."""
        for _ in range(most):
            if not isinstance(view, views.ReliefView | views.ActionView) or view.settled:
                return view
            view = app.do(self.answer(view))
        raise AssertionError(f"it still asks after {most} answers")
