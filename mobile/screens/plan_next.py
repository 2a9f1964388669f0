"""The foot of the plan: the one thing to do next, in brass, under the thumb."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import (
    AskFirst,
    Command,
    CutSlot,
    Prove,
    SeePlan,
    SeeRaising,
    SeeSheet,
)
from logic.app.commands.string_commands import ReadAfresh
from logic.app.commands.visit_commands import GoOnVisit
from logic.app.views.views import NextLine, NextStep
from mobile.parts.basics import Act, at_least, touch, words
from mobile.parts.focus_order import MAIN
from mobile.parts.theme import TAP, Theme

PADDING = 6.0
"""Above and below the words of a button in brass, logical pixels."""


def next_button(line: NextLine, theme: Theme, act: Act) -> ft.Control:
    """What comes next, and beneath it what to know of it."""
    return brass(line.label, line.detail, command_of(line), "next", theme, act)


def command_of(line: NextLine) -> Command:
    """What a touch of the button sends."""
    string = line.string or 0
    commands: dict[NextStep, Command] = {
        NextStep.ANSWER: AskFirst(line.gate),
        NextStep.READ: ReadAfresh(string),
        NextStep.CUT: CutSlot(string),
        NextStep.PROVE: Prove(string),
        NextStep.RAISE: SeeRaising(line.method),
        NextStep.LINE: SeePlan(line.string),
        NextStep.SHEET: SeeSheet(),
        NextStep.STAGE: GoOnVisit(),
    }
    return commands[line.step]


def brass(
    label: str, detail: str, command: Command, mark: str, theme: Theme, act: Act
) -> ft.Control:
    """A button in brass with a line of small words below its own."""
    ink, centred = theme.palette.on_brass, ft.TextAlign.CENTER
    rows: list[ft.Control] = [words(label, theme, bold=True, color=ink, align=centred)]
    if detail:
        small = theme.text_size * 0.85
        rows.append(words(detail, theme, size=small, color=ink, align=centred))
    middle = ft.CrossAxisAlignment.CENTER
    column = ft.Column(rows, spacing=0, horizontal_alignment=middle, tight=True)
    return touch(
        at_least(TAP - 2 * PADDING, column, ft.Alignment.CENTER),
        theme,
        lambda: act(command),
        mark=mark,
        rank=MAIN,
        label=f"{label}{'' if label[-1] in '.?' else '.'} {detail}" if detail else label,
        fill=theme.palette.brass,
        height=None,
        align=ft.Alignment.CENTER,
        padding=ft.Padding.symmetric(horizontal=10, vertical=PADDING),
    )
