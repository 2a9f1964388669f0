"""The kit: which leaves, files and stock are in it, and what is lost or worn."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import (
    AdviseKit,
    Back,
    Command,
    MarkTool,
    SetMarking,
    ToggleFile,
    ToggleLeaf,
    ToggleStock,
    UseKit,
)
from logic.app.views.views import Choice, KitView
from mobile.parts.basics import Act, choice_button, grid, plain_button, quiet, words
from mobile.parts.page import page
from mobile.parts.theme import Theme
from shared.words import say


def kit_screen(view: KitView, theme: Theme, act: Act) -> ft.Control:
    """Each tool as a button: a tap puts it in the kit, takes it out, or marks it."""
    columns = max(4, int(theme.column // 90))
    two = 2 if theme.scale < 1.5 else 1

    def tools(title: str, sort: str, choices: tuple[Choice, ...]) -> list[ft.Control]:
        cells = [
            _tool_button(c, sort, _touch_command(view, sort, c.key), theme, act) for c in choices
        ]
        return [words(f"{title}, {view.unit}", theme, bold=True), grid(cells, columns)]

    def stock(title: str, sort: str, choices: tuple[Choice, ...]) -> list[ft.Control]:
        cells = [_tool_button(c, sort[:-1], ToggleStock(sort, c.key), theme, act) for c in choices]
        return [words(title, theme, bold=True), grid(cells, two)]

    body: list[ft.Control] = [
        grid([_tool_button(c, "bag", UseKit(c.key), theme, act) for c in view.bags], two),
        quiet(view.trouble or view.summary, theme),
        plain_button(say("What to buy next"), theme, lambda: act(AdviseKit()), mark="advise"),
        *(words(line, theme) for line in view.advice),
        grid([_tool_button(c, "marking", SetMarking(c.key), theme, act) for c in view.markings], 3),
        *tools(say("Leaves"), "leaf", view.leaves),
        *tools(say("Files"), "file", view.files),
        *tools(say("Shims"), "shim", view.shims),
        *stock(say("Fills"), "fills", view.fills),
        *stock(say("Blanks"), "blanks", view.blanks),
    ]
    return page(theme, say("In the bag"), body, on_back=lambda: act(Back()))


def _touch_command(view: KitView, sort: str, key: str) -> Command:
    """What a touch on a tool does now."""
    if view.marking != "in":
        return MarkTool(sort, key, view.marking)
    if sort == "shim":
        return ToggleStock("shims", key)
    return ToggleLeaf(key) if sort == "leaf" else ToggleFile(key)


def _tool_button(choice: Choice, sort: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        choice.detail,
        choice.chosen,
        theme,
        lambda: act(command),
        mark=f"{sort}-{choice.key}",
        height=None if theme.scale > 1 else 56.0,
        expand=1,
    )
