"""When nothing can be recorded: what happened, what is safe, what to do next."""

from __future__ import annotations

import flet as ft

from logic.app.commands.start_commands import GoOn, ShareHistory, TakeOver
from logic.app.views.start_views import TroubleView
from mobile.parts.basics import Act, main_button, plain_button, words
from mobile.parts.page import page
from mobile.parts.theme import GAP, Theme
from shared.words import say

HIGH = 64.0
"""Height of each way out."""


def trouble_screen(view: TroubleView, theme: Theme, act: Act) -> ft.Control:
    """Plain words, and the one way out where there is one."""
    body: list[ft.Control] = [
        words(view.what, theme, size=theme.text_size * 1.15),
        words(view.safe, theme),
        words(view.next, theme, bold=True),
    ]
    if view.note:
        body.append(ft.Semantics(container=True, live_region=True, content=words(view.note, theme)))
    return page(theme, view.title, body, foot=_ways_out(view, theme, act))


def _ways_out(view: TroubleView, theme: Theme, act: Act) -> list[ft.Control]:
    """Below each other, or in one row on a phone that lies on its side, where the words that stand
    above them need the height."""
    ways: list[ft.Control] = []
    if view.can_export:
        text = say("Hand out a copy of everything")
        copy = plain_button(
            text, theme, lambda: act(ShareHistory()), mark="export", height=HIGH, expand=1
        )
        ways.append(copy)
    if view.can_take_over:
        text = say("Write here")
        ways.append(main_button(text, theme, lambda: act(TakeOver()), mark="take-over", expand=1))
    if view.can_go_on:
        ways.append(main_button(say("Go on"), theme, lambda: act(GoOn()), mark="go-on", expand=1))
    if theme.landscape and theme.scale <= 1:
        return [ft.Row(ways, spacing=GAP)] if ways else []
    return [ft.Row([way]) for way in ways]
