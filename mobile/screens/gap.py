"""Relief and action under the leaf: the walk's screen with a picture, and a number in place of the
open string's buzz."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Back, Command, Undo
from logic.app.commands.gap_commands import (
    AsPredicted,
    LeaveRest,
    MeasureAction,
    MeasureRelief,
    SeeMeasured,
)
from logic.app.commands.string_commands import LackLeaf, NextString, ReadAfresh
from logic.app.views.gap_views import ActionView, ReliefView
from mobile.parts.basics import Act
from mobile.parts.focus_order import REST, UNDO
from mobile.parts.gap_drawing import action_drawing, neck_line_drawing
from mobile.parts.page import back_button
from mobile.parts.theme import Theme
from mobile.screens.walk import Foot, first_legible, string_screen, two_ways
from mobile.screens.walk_layout import walk_layout
from shared.words import mark, say

FOOT: Foot = (
    (mark("Undo"), "undo", UNDO, Undo()),
    (mark("How"), "measured", REST, SeeMeasured()),
    (mark("Skip"), "leave-rest", REST, LeaveRest()),
)
"""How it is held and what was measured; and the rest of the stage left out."""
WITH_LEAF: Foot = (*FOOT[:2], (mark("Missing"), "lack-leaf", REST, LackLeaf()), FOOT[2])


def relief_screen(view: ReliefView, theme: Theme, act: Act) -> ft.Control:
    """Relief on one side of the neck."""
    shown = view.picture
    return string_screen(
        view,
        theme,
        act,
        _way_back(theme, act),
        MeasureRelief,
        first_legible((WITH_LEAF, FOOT), theme),
        _next_or_afresh(view, theme, act) if view.settled else None,
        SeeMeasured(),
        neck_line_drawing(shown, theme, _width(theme)) if shown else None,
    )


def action_screen(view: ActionView, theme: Theme, act: Act) -> ft.Control:
    """Action of one string over a fret; one that follows from others can be taken as predicted."""
    shown, ways = view.picture, None
    if view.predicted:
        measure = (say("Measure it"), "afresh", ReadAfresh(view.string))
        ways = two_ways(measure, (say("As predicted"), "predicted", AsPredicted()), theme, act)
    elif view.settled:
        ways = _next_or_afresh(view, theme, act)
    return string_screen(
        view,
        theme,
        act,
        _way_back(theme, act),
        _string_at_octave,
        first_legible((WITH_LEAF, FOOT), theme),
        ways,
        SeeMeasured(),
        action_drawing(shown, theme, _width(theme)) if shown else None,
    )


def _string_at_octave(string: int) -> Command:
    return MeasureAction(string)


def _way_back(theme: Theme, act: Act) -> ft.Control:
    return back_button(theme, lambda: act(Back()))


def _next_or_afresh(view: ReliefView | ActionView, theme: Theme, act: Act) -> ft.Control:
    afresh = (say("Read afresh"), "afresh", ReadAfresh(view.string))
    return two_ways(afresh, (view.goes_on, "next", NextString()), theme, act)


def _width(theme: Theme) -> float:
    return walk_layout(theme).asked_width
