"""How relief and action are measured, and the list of what was: each entry can be struck out, put
right or brought back as on the card of a string."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Back
from logic.app.commands.gap_commands import MeasureAction, SetPosture, StepHold, UseStraightEdge
from logic.app.views.gap_views import MeasuredView
from logic.app.views.pieces import Choice, FactRow
from mobile.parts.basics import Act, choice_button, grid, hairline, main_button, quiet, words
from mobile.parts.page import title_row
from mobile.parts.sides import two_sides
from mobile.parts.stepping import stepper
from mobile.parts.theme import Theme
from mobile.screens.string_card import entry_row, what_it_was
from shared.measurements import Posture
from shared.words import say


def measured_screen(view: MeasuredView, theme: Theme, act: Act) -> ft.Control:
    """How it lies and what is held first, then the entries, newest first."""
    small = theme.text_size * 0.85
    still: list[ft.Control] = [title_row(theme, view.title, lambda: act(Back()))]
    if view.putting_right:
        still.append(words(view.putting_right.ask, theme, size=small, bold=True))
        foot = what_it_was(view.putting_right, theme, act)
    else:
        foot = [main_button(say("Measure"), theme, lambda: act(Back()), mark="measure")]
    listed = [*_manner(view, theme, act), hairline(theme), *_entries(view, theme, act)]
    return two_sides(theme, still, listed, foot, "measured")


def _manner(view: MeasuredView, theme: Theme, act: Act) -> list[ft.Control]:
    rows: list[ft.Control] = [words(view.said, theme, bold=True)] if view.said else []
    rows += [quiet(say("How it lies meanwhile"), theme)]
    rows.append(grid([_posture(choice, theme, act) for choice in view.postures], 2))
    if view.lines:
        rows.append(quiet(say("The straight line"), theme))
        rows.append(grid([_line(choice, theme, act) for choice in view.lines], 2))
    if view.frets:
        rows.append(quiet(say("Where the string is measured"), theme))
        rows.append(grid([_fret(choice, view, theme, act) for choice in view.frets], 2))
    return [*rows, *(_hold(row, theme, act) for row in view.holds)]


def _posture(choice: Choice, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        "",
        choice.chosen,
        theme,
        lambda: act(SetPosture(Posture(choice.key))),
        mark=f"posture-{choice.key}",
        expand=1,
    )


def _line(choice: Choice, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        "",
        choice.chosen,
        theme,
        lambda: act(UseStraightEdge(choice.key == "edge")),
        mark=f"line-{choice.key}",
        expand=1,
    )


def _fret(choice: Choice, view: MeasuredView, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        "",
        choice.chosen,
        theme,
        lambda: act(MeasureAction(view.string, int(choice.key))),
        mark=f"over-{choice.key}",
        expand=1,
    )


def _hold(row: FactRow, theme: Theme, act: Act) -> ft.Control:
    steps = (StepHold(row.key, -1), StepHold(row.key, 1))
    return stepper(f"hold-{row.key}", row.name, row.value, steps, theme, act)


def _entries(view: MeasuredView, theme: Theme, act: Act) -> list[ft.Control]:
    rows = [entry_row(one, place, theme, act) for place, one in enumerate(view.entries)]
    if not rows:
        rows.append(quiet(say("Nothing was measured yet in this job."), theme))
    if view.closed:
        rows.insert(0, words(view.closed, theme, size=theme.text_size * 0.85))
    return rows
