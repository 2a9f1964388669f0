"""Where the frets of an instrument are: chosen, counted, and touched on the board itself."""

from __future__ import annotations

import flet as ft

from logic.app.commands.board_commands import (
    SpaceFrets,
    StepFrets,
    TieFrets,
    ToggleFret,
    ToggleHalfFret,
)
from logic.app.commands.commands import TypeNumber
from logic.app.views.board_views import BoardView, FretPlace
from mobile.parts.basics import Act, choice_button, grid, plain_button, quiet, touch, words
from mobile.parts.board_drawing import board_drawing
from mobile.parts.sides import side_width, two_sides
from mobile.parts.stepping import stepper
from mobile.parts.theme import GAP, Theme
from mobile.screens.instrument_pages import announced, title_with_undo
from shared.words import say

LEAST, MOST = 48.0, 168.0
"""Heights of a place on the board that is touched: room for a thumb, and for more than one."""
NECK = 84.0
"""Width of the piece of board beside the words of a place."""


def board_screen(view: BoardView, theme: Theme, act: Act) -> ft.Control:
    """The board to scale on top; below it how its frets are spaced, and every place to touch."""
    beside = theme.landscape and theme.scale <= 1
    width = side_width(theme) if beside else theme.column
    still: list[ft.Control] = [*title_with_undo(view.title, theme, act)]
    if view.places:
        still.append(board_drawing(view, theme, width))
        still.append(words(view.first, theme, bold=True))
    still += announced(view.said, theme)
    moving: list[ft.Control] = [
        quiet(say("How are the frets spaced?"), theme),
        _spacings(view, theme, act),
        *_halves(view, theme, act),
        *_count(view, theme, act),
        *_places(view, theme, act),
    ]
    return two_sides(theme, still, moving, [], "board")


def _spacings(view: BoardView, theme: Theme, act: Act) -> ft.Control:
    cells: list[ft.Control] = [
        choice_button(
            choice.label,
            "",
            choice.chosen,
            theme,
            lambda key=choice.key: act(SpaceFrets(key)),  # type: ignore[misc]
            mark=f"spacing-{choice.key}",
            expand=1,
        )
        for choice in view.spacings
    ]
    return grid(cells, 2)


def _halves(view: BoardView, theme: Theme, act: Act) -> list[ft.Control]:
    """Half frets that a diatonic board can have, and whether frets are tied."""
    cells: list[ft.Control] = [
        choice_button(
            half.label,
            "",
            half.chosen,
            theme,
            lambda key=half.key: act(ToggleHalfFret(key)),  # type: ignore[misc]
            mark=f"half-{half.key}",
            expand=1,
        )
        for half in view.halves
    ]
    tied = view.tied
    if tied is not None:
        cells.append(
            choice_button(
                tied.label,
                "",
                tied.chosen,
                theme,
                lambda: act(TieFrets(not tied.chosen)),
                mark="frets-tied",
                expand=1,
            )
        )
    return [grid(cells, 2)] if cells else []


def _count(view: BoardView, theme: Theme, act: Act) -> list[ft.Control]:
    if not view.places:
        return []
    ways = (StepFrets(-1), StepFrets(1))
    typed = lambda: act(TypeNumber("frets"))  # noqa: E731
    return [
        stepper("frets", say("How many frets"), view.count, ways, theme, act),
        plain_button(say("Type how many"), theme, typed, mark="type-frets"),
    ]


def _places(view: BoardView, theme: Theme, act: Act) -> list[ft.Control]:
    """Every place where a fret is or could be, from the nut, as far apart as they are."""
    if not view.places:
        return []
    smallest = min(place.ends - place.begins for place in view.places)
    widest = max(place.ends - place.begins for place in view.places)
    long = min(LEAST / smallest, MOST / widest)
    nut = ft.Row([ft.Container(height=6, width=NECK, bgcolor=theme.palette.brass)])
    rows: list[ft.Control] = [
        quiet(say("Touch a fret that is missing, or one that is there after all."), theme),
        nut,
    ]
    rows += [_place(place, long, theme, act) for place in view.places]
    return [ft.Column(rows, spacing=0)]


def _place(place: FretPlace, long: float, theme: Theme, act: Act) -> ft.Control:
    """From the place before to this one; its fret lies at the lower edge."""
    height = max(LEAST, (place.ends - place.begins) * long)
    palette = theme.palette
    line = ft.BorderSide(4, palette.text) if place.there else ft.BorderSide(1, palette.hairline)
    neck = ft.Container(
        width=NECK,
        height=height,
        bgcolor=palette.surface,
        border=ft.Border(
            left=ft.BorderSide(1, palette.hairline),
            right=ft.BorderSide(1, palette.hairline),
            bottom=line,
        ),
    )
    name = words(place.name, theme, bold=place.there, color=None if place.there else palette.quiet)
    said = ft.Column(
        [name, quiet(place.away, theme, size=theme.text_size * 0.8)],
        spacing=0,
        expand=True,
        alignment=ft.MainAxisAlignment.END,
    )
    return touch(
        ft.Row([neck, said], spacing=GAP, vertical_alignment=ft.CrossAxisAlignment.END),
        theme,
        lambda: act(ToggleFret(place.semitones)),
        mark=f"fret-at-{place.semitones:g}",
        label=place.said,
        height=height,
        padding=0,
        chosen=place.there,
    )
