"""A number pad of our own: no keyboard of the phone's is needed at the bench."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import flet as ft

from logic.app.commands.commands import Back, NumberTyped, TypeNumber
from logic.app.views.views import Choice, TypeView
from mobile.parts.basics import Act, choice_button, grid, main_button, touch, words
from mobile.parts.page import frame, title_row
from mobile.parts.reflow import in_one_column
from mobile.parts.text_metrics import SPACED_OUT, whole, wrapped
from mobile.parts.theme import GAP, TAP, Theme
from shared.words import mark, say

KEYS = ("7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "←")
MINUS = "−"
NAMES = {"←": mark("Delete"), ".": mark("Point"), MINUS: mark("Minus")}
LONGEST = 8
SHORT = 640.0
"""A screen upright and lower than this is short of room."""
SAVE = 60.0
"""Height of the button that hands the number in."""


@dataclass
class Entry:
    """What was typed to one question."""

    asked: str
    typed: str = ""
    press: str = ""

    def answer(self, asked: str) -> None:
        """Start anew where something else is asked."""
        if asked != self.asked:
            self.asked, self.typed, self.press = asked, "", ""

    def say_pressed(self, press: str) -> None:
        """How hard the finger pressed; said once more it is taken back."""
        self.press = "" if press == self.press else press


def type_screen(view: TypeView, theme: Theme, act: Act) -> ft.Control:
    """What is asked on top, the pad under the thumb; beside each other in landscape."""
    return frame(theme, _pad(view, theme, act))


@ft.component
def _pad(view: TypeView, theme: Theme, act: Act) -> ft.Control:
    """The digits typed so far live here until they are handed in; the next question starts anew.

    They are kept outside what was drawn: fast fingers are ahead of the screen.
    """
    entry: Entry | None = ft.use_ref(Entry(view.ask)).current
    assert entry is not None
    entry.answer(view.ask)
    _, redraw = ft.use_state(0)
    unit, set_unit = ft.use_state(_chosen(view.units))
    unit_name = unit if view.units else view.unit_name

    def press(key: str) -> None:
        entry.typed = _pressed(entry.typed, key)
        redraw(lambda drawn: drawn + 1)

    def hand_in() -> None:
        act(NumberTyped(f"{entry.typed} {unit_name}", entry.press))

    def say_pressed(press: str) -> None:
        entry.say_pressed(press)
        redraw(lambda drawn: drawn + 1)

    asked: list[ft.Control] = [
        title_row(theme, view.title, lambda: act(Back())),
        words(view.ask, theme, size=_asked_size(view.ask, theme), bold=True),
        *_pad_choices(view, theme, act),
    ]
    scrolled = ft.Column(asked, expand=True, scroll=ft.ScrollMode.AUTO)
    keys = grid([_digit_key(key, theme, press) for key in _keys(view)], 3, gap=6)
    in_a_line = _in_a_line(view, theme)
    units = [_one_of("unit", each, unit, theme, set_unit, in_a_line) for each in view.units]
    presses: list[ft.Control] = [
        _one_of("press", each, entry.press, theme, say_pressed) for each in view.presses
    ]
    if view.signed:
        units.insert(0, _digit_key(MINUS, theme, press, 48))
    shown = _shown(entry.typed, unit_name, theme)
    said = [*_trouble(view, theme), *_with_presses(shown, presses, theme)]
    save = main_button(say("Save"), theme, hand_in, mark="save-number", height=SAVE)
    chosen = [ft.Row(units, spacing=6)] if units else []
    if in_a_line:
        said[-1] = ft.Row([ft.Container(shown, expand=2), *units], spacing=6)
        chosen = []
    if not theme.landscape:  # on its side the keys stand beside it, however large the words
        upright = ft.Column([scrolled, *said, *chosen, keys, save], spacing=6, expand=True)
        return in_one_column(upright, theme)
    pad = ft.Container(ft.Column([keys, save], spacing=6), width=theme.thumb_width)
    beside = ft.Column([scrolled, *said, *chosen], spacing=6, expand=True)
    sides: list[ft.Control] = [beside, pad]
    return ft.Row(sides[::-1] if theme.left_handed else sides, spacing=GAP * 2, expand=True)


def _asked_size(ask: str, theme: Theme) -> float:
    """On a short screen upright no larger than leaves it three lines, so that all stands above the
    keys; no word of large text is broken."""
    usual = theme.text_size * 1.15
    if theme.scale > 1:
        return whole(ask, theme.column / 2 if theme.landscape else theme.column, usual)
    if theme.landscape or theme.height >= SHORT:
        return usual
    return wrapped(ask, theme.column / SPACED_OUT, 3, usual)


def _in_a_line(view: TypeView, theme: Theme) -> bool:
    """Whether the number and its units share a line: on a short screen upright that leaves room
    for the ways to measure; beside a sign there is none left."""
    short = not theme.landscape and theme.height < SHORT and theme.scale <= 1
    return short and bool(view.units) and not view.signed


def _with_presses(shown: ft.Control, presses: list[ft.Control], theme: Theme) -> list[ft.Control]:
    """The number, and how hard the finger pressed: below it, or beside it where room is short."""
    if not presses:
        return [shown]
    if theme.landscape or theme.height < SHORT:
        return [ft.Row([ft.Container(shown, expand=1), *presses], spacing=6)]
    return [shown, ft.Row(presses, spacing=6)]


def _trouble(view: TypeView, theme: Theme) -> list[ft.Control]:
    """What was wrong with the last number, where it cannot be overlooked."""
    if not view.trouble:
        return []
    said = words(
        view.trouble, theme, size=theme.text_size * 0.85, color=theme.palette.alarm, lines=5
    )
    return [ft.Semantics(live_region=True, container=True, content=said)]


def _key_height(theme: Theme) -> float:
    """Four rows and the button below them fill a screen on its side; on a short one upright they
    leave room for what is asked."""
    if not theme.landscape:
        return TAP if theme.height < SHORT else 56.0
    return min(72.0, (theme.height - 2 * theme.margin - SAVE - 4 * 6) / 4)


def _keys(view: TypeView) -> tuple[str, ...]:
    """Cents can be flat: the point gives way to a sign."""
    return (
        KEYS
        if view.units or view.fractions
        else tuple(MINUS if key == "." else key for key in KEYS)
    )


def _chosen(choices: tuple[Choice, ...]) -> str:
    return next((choice.key for choice in choices if choice.chosen), "")


def _pressed(typed: str, key: str) -> str:
    """The text after a key."""
    if key == "←":
        return typed[:-1]
    if key == MINUS:
        return typed[1:] if typed.startswith("-") else f"-{typed}"
    if (key == "." and "." in typed) or len(typed) >= LONGEST:
        return typed
    return typed + key


def _shown(typed: str, unit: str, theme: Theme) -> ft.Control:
    size = 44.0 if theme.landscape else 36.0 if theme.height < SHORT else 64.0
    return ft.Semantics(
        container=True,
        live_region=True,
        exclude_semantics=True,
        label=f"{typed or say('nothing yet')} {say(unit)}",
        content=ft.Row(
            [
                words(typed.replace(".", theme.decimal) or "–", theme, size=size, bold=True),
                words(say(unit), theme, size=size * 0.45, color=theme.palette.quiet),
            ],
            alignment=ft.MainAxisAlignment.CENTER,
            spacing=GAP,
        ),
    )


def _pad_choices(view: TypeView, theme: Theme, act: Act) -> list[ft.Control]:
    if not view.ways:
        return []
    cells: list[ft.Control] = [
        choice_button(
            way.label,
            "",
            way.chosen,
            theme,
            lambda key=way.key: act(TypeNumber(key)),  # type: ignore[misc]
            mark=f"way-{way.key}",
            height=48,
            expand=1,
            small=True,
        )
        for way in view.ways
    ]
    if not view.frets:
        return [grid(cells, 3, gap=6)]
    return [
        grid(cells, 3, gap=6),
        ft.Row([_fret(fret, theme, act) for fret in view.frets], spacing=4),
    ]


def _fret(fret: Choice, theme: Theme, act: Act) -> ft.Control:
    """One fret, what was read there below it."""
    ink = theme.palette.on_brass if fret.chosen else theme.palette.text
    size = theme.text_size * (0.7 if theme.shorter < 360 else 0.78)
    read_out = say("{fret}, read as {cents}", fret=fret.label, cents=fret.detail)
    rows: list[ft.Control] = [
        words(
            text, theme, size=size, bold=fret.chosen, color=ink, lines=1, align=ft.TextAlign.CENTER
        )
        for text in (fret.label, fret.detail or "–")
    ]
    return touch(
        ft.Column(rows, spacing=0, horizontal_alignment=ft.CrossAxisAlignment.CENTER),
        theme,
        lambda: act(TypeNumber(fret.key)),
        mark=f"fret-{fret.key.split()[1]}",
        label=read_out if fret.detail else fret.label,
        fill=theme.palette.brass if fret.chosen else None,
        line=theme.palette.hairline,
        height=52,
        expand=1,
        padding=2,
        align=ft.Alignment.CENTER,
        chosen=fret.chosen,
    )


def _digit_key(
    key: str, theme: Theme, press: Callable[[str], None], height: float | None = None
) -> ft.Control:
    name = NAMES.get(key, key)
    return touch(
        words(theme.decimal if key == "." else key, theme, size=28, bold=True),
        theme,
        lambda: press(key),
        mark=f"key-{name}",
        label=say(name),
        fill=theme.palette.surface,
        line=theme.palette.hairline,
        height=height or _key_height(theme),
        fixed=True,
        expand=1,
        padding=0,
        align=ft.Alignment.CENTER,
    )


def _one_of(
    what: str,
    choice: Choice,
    chosen: str,
    theme: Theme,
    choose: Callable[[str], None],
    small: bool = False,
) -> ft.Control:
    return choice_button(
        choice.label,
        "",
        choice.key == chosen,
        theme,
        lambda: choose(choice.key),
        mark=f"{what}-{choice.key}",
        height=48,
        expand=1,
        small=small or len(choice.label) > 4,
    )
