"""When nothing can be recorded: what happened, what is safe, what to do next."""

from __future__ import annotations

import flet as ft

from logic.app.commands.start_commands import GoOn, ShareHistory, TakeOver
from logic.app.views.start_views import TroubleView
from mobile.parts.basics import Act, main_button, plain_button, words
from mobile.parts.page import page
from mobile.parts.theme import Theme
from shared.words import say


def trouble_screen(view: TroubleView, theme: Theme, act: Act) -> ft.Control:
    """Plain words, and the one way out where there is one."""
    body: list[ft.Control] = [
        words(view.what, theme, size=theme.text_size * 1.15),
        words(view.safe, theme),
        words(view.next, theme, bold=True),
    ]
    if view.note:
        body.append(ft.Semantics(container=True, live_region=True, content=words(view.note, theme)))
    foot: list[ft.Control] = []
    if view.can_export:
        text = say("Hand out a copy of everything")
        foot.append(plain_button(text, theme, lambda: act(ShareHistory()), mark="export"))
    if view.can_take_over:
        foot.append(
            main_button(say("Write here"), theme, lambda: act(TakeOver()), mark="take-over")
        )
    if view.can_go_on:
        foot.append(main_button(say("Go on"), theme, lambda: act(GoOn()), mark="go-on"))
    return page(theme, view.title, body, foot=foot)
