"""The bag: which leaves and files are here. The walk asks for nothing that is not."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import Back, Command, ToggleFile, ToggleLeaf
from logic.desk.views import Choice, KitView
from mobile.look import Look
from mobile.parts.basics import Act, choice_button, grid, quiet, words
from mobile.parts.page import page


def kit_screen(view: KitView, look: Look, act: Act) -> ft.Control:
    """A tap puts a leaf or file in the bag or takes it out; nothing else to fill in."""
    columns = max(4, int(look.column // 90))
    body: list[ft.Control] = [
        quiet(view.summary, look),
        words(f"Leaves, {view.unit}", look, bold=True),
        grid([_cell(c, "leaf", ToggleLeaf(c.key), look, act) for c in view.leaves], columns),
        words(f"Files, {view.unit}", look, bold=True),
        grid([_cell(c, "file", ToggleFile(c.key), look, act) for c in view.files], columns),
    ]
    return page(look, "In the bag", body, on_back=lambda: act(Back()))


def _cell(choice: Choice, sort: str, command: Command, look: Look, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        "",
        choice.chosen,
        look,
        lambda: act(command),
        mark=f"{sort}-{choice.key}",
        expand=1,
    )
