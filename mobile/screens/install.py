"""How the app is put on a device by its browser's share menu, step by step in pictures."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import Back, ShareHistory
from logic.desk.keeping_views import InstallStep, InstallView
from mobile.look import GAP, Look
from mobile.parts.basics import Act, plain_button, quiet, words
from mobile.parts.install_drawing import HEIGHT, WIDTH, install_drawing
from mobile.parts.page import noted, title_row
from mobile.parts.sides import two_sides
from shared.words import say


def install_screen(view: InstallView, look: Look, act: Act) -> ft.Control:
    """What it is good for, or what to do before; then each step with its picture."""
    still = [title_row(look, say("Install"), lambda: act(Back()))]
    still.append(quiet(view.before or view.about, look, size=look.text_size * 0.85))
    if view.note:
        still.append(noted(view.note, look))
    foot: list[ft.Control] = []
    if view.before:
        copy = say("Hand out a copy of everything")
        foot.append(plain_button(copy, look, lambda: act(ShareHistory()), mark="export"))
    steps = [_step(number, step, look) for number, step in enumerate(view.steps, start=1)]
    return two_sides(look, still, steps, foot, "install")


def _step(number: int, step: InstallStep, look: Look) -> ft.Control:
    """The picture, its number and its words; read out as one."""
    drawing = ft.Container(install_drawing(step.picture, look), width=WIDTH, height=HEIGHT)
    digit = words(str(number), look, size=look.text_size * 2, bold=True, color=look.palette.brass)
    cells: list[ft.Control] = [drawing, digit, words(step.text, look, expand=True)]
    return ft.Semantics(
        container=True,
        exclude_semantics=True,
        label=step.spoken,
        content=ft.Row(cells, spacing=GAP * 1.5),
    )
