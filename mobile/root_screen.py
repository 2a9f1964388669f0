"""The whole app as one component: the shell's view, drawn by the screen that fits it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from logic.app.views.start_views import HomeView, TroubleView
from mobile.parts.basics import Act
from mobile.parts.page import telling
from mobile.parts.theme import Theme
from mobile.screens.home import home_screen
from mobile.screens.trouble import trouble_screen
from mobile.shell import Shell

if TYPE_CHECKING:
    from logic.app.views.views import View


def draw(view: View, theme: Theme, act: Act) -> ft.Control:
    """The controls for one view; every kind of view has exactly one screen.

    Home and trouble come first and alone; the other screens are imported when one is shown.
    """
    if isinstance(view, HomeView):
        return home_screen(view, theme, act)
    if isinstance(view, TroubleView):
        return trouble_screen(view, theme, act)
    from mobile.screens.table import SCREENS

    return SCREENS[type(view)](view, theme, act)


@ft.component
def root_screen(shell: Shell) -> ft.Control:
    """Redraws whenever the shell's view or look is replaced; Flet sends only what changed.

    Another kind of screen is put up whole, so that it does not begin where the last was scrolled.
    """
    # What has a line for what was saved a moment ago says there what was taken back.
    announced = "" if hasattr(shell.view, "saved") else shell.announced
    screen = draw(shell.view, telling(shell.theme, announced), shell.act)
    screen.key = type(shell.view).__name__
    return ft.Semantics(identifier="ready", container=True, content=screen)
