"""The quick check: one leaf a string with the same four answers, then what moved."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Back, Command, Undo
from logic.app.commands.instrument_commands import (
    CheckString,
    EndCheck,
    LeaveRack,
    NewJobOn,
    NextInRack,
    PassOver,
    SeeInstrument,
    SkipString,
)
from logic.app.views.quick_check_views import (
    CheckedString,
    CheckedView,
    CheckView,
    RackLine,
    RackView,
)
from mobile.parts.basics import Act, main_button, plain_button, quiet, touch, words
from mobile.parts.focus_order import MAIN, PLAN, REST, UNDO
from mobile.parts.page import back_button, title_row
from mobile.parts.sides import side_width, two_sides
from mobile.parts.text_metrics import row_size, share_of, whole
from mobile.parts.theme import GAP, Theme
from mobile.screens.walk import string_screen
from shared.words import mark, say, say_as

FOOT = (
    (mark("Undo"), "undo", UNDO, Undo()),
    (mark("Skip"), "skip", REST, SkipString()),
    (mark("End"), "end", PLAN, EndCheck()),
)


def check_screen(view: CheckView, theme: Theme, act: Act) -> ft.Control:
    """One string, its one leaf, and how it stood."""
    way_back = back_button(theme, lambda: act(Back()), say("Instrument"))
    return string_screen(view, theme, act, way_back, CheckString, FOOT)


def checked_screen(view: CheckedView, theme: Theme, act: Act) -> ft.Control:
    """The answer largest; the strings below it, each to be checked once more; what to do."""
    still = [
        title_row(theme, view.title, lambda: act(Back()), say("Instrument")),
        _headline(view.headline, view.still, view.spoken, theme),
    ]
    moving: list[ft.Control] = [
        *(words(line, theme) for line in view.tonight),
        *(_string(one, theme, act) for one in view.strings),
        *(quiet(line, theme) for line in view.left_out),
        quiet(view.note, theme, size=theme.text_size * 0.8),
    ]
    return two_sides(theme, still, moving, _further_buttons(view, theme, act), "checked")


def _headline(text: str, still: bool, spoken: str, theme: Theme) -> ft.Control:
    """A sign and words: colour alone says nothing."""
    usual = theme.text_size * (1.5 if theme.shorter < 360 else 1.75)
    size = whole(text, side_width(theme) - usual, usual)
    ink = theme.palette.window if still else theme.palette.brass
    return ft.Semantics(
        container=True,
        live_region=True,
        exclude_semantics=True,
        identifier="found",
        label=spoken,
        content=ft.Row(
            [
                words("✓" if still else "!", theme, size=size * 1.3, bold=True, color=ink),
                words(text, theme, size=size, bold=True, expand=True),
            ],
            spacing=GAP * 1.5,
        ),
    )


def _string(one: CheckedString, theme: Theme, act: Act) -> ft.Control:
    """What was found of one string; touched, it is checked once more."""
    sign = "!" if one.moved else "✓"
    ink = theme.palette.brass if one.moved else theme.palette.window
    said = say("{said}: try another leaf", said=one.said) if one.again else one.said
    text = ft.Column(
        [
            words(f"{one.name} · {said}", theme, bold=one.moved, lines=2),
            quiet(one.detail, theme, size=theme.text_size * 0.8, lines=2),
        ],
        spacing=0,
        expand=True,
        alignment=ft.MainAxisAlignment.CENTER,
    )
    return touch(
        ft.Row([_sign(sign, ink, theme), text], spacing=GAP),
        theme,
        lambda: act(CheckString(one.string)),
        mark=f"string-{one.string}",
        label=f"{one.name}: {said}. {one.detail}",
        fill=theme.palette.surface,
        line=theme.palette.brass if one.moved else theme.palette.hairline,
        height=None,
        padding=ft.Padding.symmetric(horizontal=12, vertical=11),
    )


def _sign(sign: str, ink: str, theme: Theme) -> ft.Control:
    return ft.Container(words(sign, theme, size=24, bold=True, color=ink), width=28)


def _further_buttons(view: CheckedView, theme: Theme, act: Act) -> list[ft.Control]:
    ways: list[tuple[str, str, Command]] = [(say("Undo"), "undo", Undo())]
    if not view.racked:  # along a rack the next one is waiting
        ways.append((say("Full job"), "new-job", NewJobOn(view.instrument)))
    if view.rest is not None:
        ways.append((say("The rest"), "rest", CheckString(view.rest)))
    if view.following:
        ways.append((say("Skip next"), "skip-next", PassOver()))
    usual = theme.text_size * 0.85
    size = usual
    if theme.scale <= 1:
        size = row_size((text for text, *_ in ways), side_width(theme), usual)
    return [
        ft.Row([_further_button(*way, theme, act, size) for way in ways], spacing=GAP),
        _main_button(view, theme, act),
    ]


def _main_button(view: CheckedView, theme: Theme, act: Act) -> ft.Control:
    if view.following:
        return _next(view.following, theme, act)
    if view.racked:
        return main_button(say("What was found"), theme, lambda: act(NextInRack()), mark="next")
    return main_button(say_as("button", "Done"), theme, lambda: act(Back()), mark="done")


def _next(title: str, theme: Theme, act: Act) -> ft.Control:
    """The next instrument by its name, however long that is."""
    palette = theme.palette
    name = words(title, theme, bold=True, lines=1, color=palette.on_brass, expand=True)
    lead = words(say("Next"), theme, size=theme.text_size * 0.85, color=palette.on_brass)
    return touch(
        ft.Row([lead, name], spacing=GAP * 1.5),
        theme,
        lambda: act(NextInRack()),
        mark="next",
        rank=MAIN,
        label=say("Next: {title}", title=title),
        fill=palette.brass,
        height=64,
    )


def _further_button(
    text: str, mark: str, command: Command, theme: Theme, act: Act, size: float
) -> ft.Control:
    share = share_of(text)
    return plain_button(text, theme, lambda: act(command), mark=mark, expand=share, size=size)


def rack_screen(view: RackView, theme: Theme, act: Act) -> ft.Control:
    """Every instrument of the rack with what was found, or why it was passed over."""
    still = not any(not line.still for line in view.lines)
    head = [
        title_row(theme, say("The rack"), lambda: act(Back()), say("Instruments")),
        _headline(view.headline, still, view.headline, theme),
    ]
    rows = [_instrument(line, theme, act) for line in view.lines]
    done = main_button(say_as("button", "Done"), theme, lambda: act(LeaveRack()), mark="done")
    return two_sides(theme, head, rows, [done], "rack")


def _instrument(line: RackLine, theme: Theme, act: Act) -> ft.Control:
    sign, ink = ("✓", theme.palette.window) if line.still else ("!", theme.palette.brass)
    text = ft.Column(
        [words(line.title, theme, bold=True, lines=1), quiet(line.said, theme, lines=3)],
        spacing=0,
        expand=True,
    )
    return touch(
        ft.Row([_sign(sign, ink, theme), text], spacing=GAP),
        theme,
        lambda: act(SeeInstrument(line.instrument)),
        mark=f"instrument-{line.instrument}",
        label=f"{line.title}: {line.said}",
        fill=theme.palette.surface,
        line=theme.palette.hairline,
        height=None,
        padding=ft.Padding.symmetric(horizontal=12, vertical=11),
    )
