"""How the app is put on a device by its browser's share menu, step by step in pictures."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import Back, ShareHistory
from logic.desk.keeping_views import InstallStep, InstallView
from mobile.look import GAP, Look
from mobile.parts.basics import Act, plain_button, words
from mobile.parts.install_drawing import HEIGHT, WIDTH, install_drawing
from mobile.parts.page import noted, page
from shared.words import say


def install_screen(view: InstallView, look: Look, act: Act) -> ft.Control:
    """What it is good for, then each step with its picture; two abreast in landscape."""
    steps = [_step(number, step, look) for number, step in enumerate(view.steps, start=1)]
    body: list[ft.Control] = [words(view.about, look), *_abreast(steps, look)]
    foot: list[ft.Control] = []
    if view.before:
        body[1:1] = [words(view.before, look, bold=True), noted(view.note, look)]
        copy = say("Hand out a copy of everything")
        foot.append(plain_button(copy, look, lambda: act(ShareHistory()), mark="export"))
    title = say("Install on this device")
    return page(look, title, body, foot=foot, on_back=lambda: act(Back()))


def _abreast(steps: list[ft.Control], look: Look) -> list[ft.Control]:
    columns = 2 if look.landscape and look.scale <= 1 else 1
    return [
        ft.Row(steps[start : start + columns], spacing=GAP * 2)
        for start in range(0, len(steps), columns)
    ]


def _step(number: int, step: InstallStep, look: Look) -> ft.Control:
    """The picture, its number and its words; read out as one."""
    drawing = ft.Container(install_drawing(step.picture, look), width=WIDTH, height=HEIGHT)
    digit = words(str(number), look, size=look.text_size * 2, bold=True, color=look.palette.brass)
    cells: list[ft.Control] = [drawing, digit, words(step.text, look, expand=True)]
    return ft.Semantics(
        container=True,
        exclude_semantics=True,
        label=step.spoken,
        expand=1,
        content=ft.Row(cells, spacing=GAP * 1.5),
    )
