"""How the app is put on a device by its browser's share menu, step by step in pictures."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Back, ShareHistory
from logic.app.views.record_views import InstallStep, InstallView
from mobile.parts.basics import Act, plain_button, quiet, words
from mobile.parts.install_drawing import HEIGHT, WIDTH, install_drawing
from mobile.parts.page import noted, title_row
from mobile.parts.sides import two_sides
from mobile.parts.theme import GAP, Theme
from shared.words import say


def install_screen(view: InstallView, theme: Theme, act: Act) -> ft.Control:
    """What it is good for, or what to do before; then each step with its picture."""
    still = [title_row(theme, say("Install"), lambda: act(Back()))]
    still.append(quiet(view.before or view.about, theme, size=theme.text_size * 0.85))
    if view.note:
        still.append(noted(view.note, theme))
    foot: list[ft.Control] = []
    if view.before:
        copy = say("Hand out a copy of everything")
        foot.append(plain_button(copy, theme, lambda: act(ShareHistory()), mark="export"))
    steps = [_step_row(number, step, theme) for number, step in enumerate(view.steps, start=1)]
    return two_sides(theme, still, steps, foot, "install")


def _step_row(number: int, step: InstallStep, theme: Theme) -> ft.Control:
    """The picture, its number and its words; read out as one."""
    drawing = ft.Container(install_drawing(step.picture, theme), width=WIDTH, height=HEIGHT)
    digit = words(
        str(number), theme, size=theme.text_size * 2, bold=True, color=theme.palette.brass
    )
    cells: list[ft.Control] = [drawing, digit, words(step.text, theme, expand=True)]
    return ft.Semantics(
        container=True,
        exclude_semantics=True,
        label=step.spoken,
        content=ft.Row(cells, spacing=GAP * 1.5),
    )
