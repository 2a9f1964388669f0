"""The quick check: one leaf a string with the same four answers, then what moved."""

from __future__ import annotations

import flet as ft

from logic.desk.check_views import CheckedString, CheckedView, CheckView, RackLine, RackView
from logic.desk.commands import Back, Command, Undo
from logic.desk.instrument_commands import (
    CheckString,
    EndCheck,
    LeaveRack,
    NewJobOn,
    NextInRack,
    PassOver,
    SeeInstrument,
    SkipString,
)
from mobile.letters import row_size, share_of, whole
from mobile.look import GAP, Look
from mobile.parts.basics import Act, main_button, plain_button, quiet, touch, words
from mobile.parts.page import back_button, title_row
from mobile.parts.sides import side_width, two_sides
from mobile.ring import MAIN, PLAN, REST, UNDO
from mobile.screens.walk import string_screen
from shared.words import mark, say

FOOT = (
    (mark("Undo"), "undo", UNDO, Undo()),
    (mark("Skip"), "skip", REST, SkipString()),
    (mark("End"), "end", PLAN, EndCheck()),
)


def check_screen(view: CheckView, look: Look, act: Act) -> ft.Control:
    """One string, its one leaf, and how it stood."""
    way_back = back_button(look, lambda: act(Back()), say("Instrument"))
    return string_screen(view, look, act, way_back, CheckString, FOOT)


def checked_screen(view: CheckedView, look: Look, act: Act) -> ft.Control:
    """The answer largest; the strings below it, each to be checked once more; what to do."""
    still = [
        title_row(look, view.title, lambda: act(Back()), say("Instrument")),
        _headline(view.headline, view.still, view.spoken, look),
    ]
    moving: list[ft.Control] = [
        *(words(line, look) for line in view.tonight),
        *(_string(one, look, act) for one in view.strings),
        *(quiet(line, look) for line in view.left_out),
        quiet(view.note, look, size=look.text_size * 0.8),
    ]
    return two_sides(look, still, moving, _foot(view, look, act), "checked")


def _headline(text: str, still: bool, spoken: str, look: Look) -> ft.Control:
    """A sign and words: colour alone says nothing."""
    usual = look.text_size * (1.5 if look.shorter < 360 else 1.75)
    size = whole(text, side_width(look) - usual, usual)
    ink = look.palette.window if still else look.palette.brass
    return ft.Semantics(
        container=True,
        live_region=True,
        exclude_semantics=True,
        identifier="found",
        label=spoken,
        content=ft.Row(
            [
                words("✓" if still else "!", look, size=size * 1.3, bold=True, color=ink),
                words(text, look, size=size, bold=True, expand=True),
            ],
            spacing=GAP * 1.5,
        ),
    )


def _string(one: CheckedString, look: Look, act: Act) -> ft.Control:
    """What was found of one string; touched, it is checked once more."""
    sign = "!" if one.moved else "✓"
    ink = look.palette.brass if one.moved else look.palette.window
    said = say("{said}: try another leaf", said=one.said) if one.again else one.said
    text = ft.Column(
        [
            words(f"{one.name} · {said}", look, bold=one.moved, lines=2),
            quiet(one.detail, look, size=look.text_size * 0.8, lines=2),
        ],
        spacing=0,
        expand=True,
        alignment=ft.MainAxisAlignment.CENTER,
    )
    return touch(
        ft.Row([_sign(sign, ink, look), text], spacing=GAP),
        look,
        lambda: act(CheckString(one.string)),
        mark=f"string-{one.string}",
        label=f"{one.name}: {said}. {one.detail}",
        fill=look.palette.surface,
        line=look.palette.brass if one.moved else look.palette.hairline,
        height=None,
        padding=ft.Padding.symmetric(horizontal=12, vertical=11),
    )


def _sign(sign: str, ink: str, look: Look) -> ft.Control:
    return ft.Container(words(sign, look, size=24, bold=True, color=ink), width=28)


def _foot(view: CheckedView, look: Look, act: Act) -> list[ft.Control]:
    ways: list[tuple[str, str, Command]] = [(say("Undo"), "undo", Undo())]
    if not view.racked:  # along a rack the next one is waiting
        ways.append((say("Full job"), "new-job", NewJobOn(view.instrument)))
    if view.rest is not None:
        ways.append((say("The rest"), "rest", CheckString(view.rest)))
    if view.following:
        ways.append((say("Skip next"), "skip-next", PassOver()))
    usual = look.text_size * 0.85
    size = usual
    if look.scale <= 1:
        size = row_size((text for text, *_ in ways), side_width(look), usual)
    return [
        ft.Row([_way(*way, look, act, size) for way in ways], spacing=GAP),
        _main_way(view, look, act),
    ]


def _main_way(view: CheckedView, look: Look, act: Act) -> ft.Control:
    if view.following:
        return _next(view.following, look, act)
    if view.racked:
        return main_button(say("What was found"), look, lambda: act(NextInRack()), mark="next")
    return main_button(say("Done"), look, lambda: act(Back()), mark="done")


def _next(title: str, look: Look, act: Act) -> ft.Control:
    """The next instrument by its name, however long that is."""
    palette = look.palette
    name = words(title, look, bold=True, lines=1, color=palette.on_brass, expand=True)
    lead = words(say("Next"), look, size=look.text_size * 0.85, color=palette.on_brass)
    return touch(
        ft.Row([lead, name], spacing=GAP * 1.5),
        look,
        lambda: act(NextInRack()),
        mark="next",
        rank=MAIN,
        label=say("Next: {title}", title=title),
        fill=palette.brass,
        height=64,
    )


def _way(text: str, mark: str, command: Command, look: Look, act: Act, size: float) -> ft.Control:
    share = share_of(text)
    return plain_button(text, look, lambda: act(command), mark=mark, expand=share, size=size)


def rack_screen(view: RackView, look: Look, act: Act) -> ft.Control:
    """Every instrument of the rack with what was found, or why it was passed over."""
    still = not any(not line.still for line in view.lines)
    head = [
        title_row(look, say("The rack"), lambda: act(Back()), say("Instruments")),
        _headline(view.headline, still, view.headline, look),
    ]
    rows = [_instrument(line, look, act) for line in view.lines]
    done = main_button(say("Done"), look, lambda: act(LeaveRack()), mark="done")
    return two_sides(look, head, rows, [done], "rack")


def _instrument(line: RackLine, look: Look, act: Act) -> ft.Control:
    sign, ink = ("✓", look.palette.window) if line.still else ("!", look.palette.brass)
    text = ft.Column(
        [words(line.title, look, bold=True, lines=1), quiet(line.said, look, lines=3)],
        spacing=0,
        expand=True,
    )
    return touch(
        ft.Row([_sign(sign, ink, look), text], spacing=GAP),
        look,
        lambda: act(SeeInstrument(line.instrument)),
        mark=f"instrument-{line.instrument}",
        label=f"{line.title}: {line.said}",
        fill=look.palette.surface,
        line=look.palette.hairline,
        height=None,
        padding=ft.Padding.symmetric(horizontal=12, vertical=11),
    )
