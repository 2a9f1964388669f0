"""What if: six dials, and the nut as it would be while they turn."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Back, ForgetWhatIf, Turn, WhatIf
from logic.app.views.views import DialView, WhatIfView
from logic.bench.what_if.dial import Dial
from mobile.parts.basics import Act, plain_button, quiet, words
from mobile.parts.nut_drawing import nut_drawing
from mobile.parts.page import frame, title_row
from mobile.parts.pointing import pointing
from mobile.parts.stepping import between, step_down, step_up, value_size
from mobile.parts.theme import GAP, Theme
from shared.words import say


def what_if_screen(view: WhatIfView, theme: Theme, act: Act) -> ft.Control:
    """The drawing stays in sight above the dials, or beside them in landscape."""
    back = lambda: act(Back())  # noqa: E731
    title = title_row(theme, say("What if"), back, say("Plan"))
    dials = ft.ListView(
        [
            pointing(view.marks, view.string, WhatIf, theme, act),
            *(_dial(dial, theme, act) for dial in view.dials),
            *(_call_line(name, said, theme) for name, said in view.lines),
        ],
        spacing=GAP,
        expand=True,
    )
    note = quiet(say("Nothing of this is recorded."), theme, size=theme.text_size * 0.85)
    forget = plain_button(say("As recorded"), theme, lambda: act(ForgetWhatIf()), mark="forget")
    if theme.landscape:
        half = (theme.width - 3 * theme.margin) / 2
        drawing = _drawing(view, theme, half, theme.height - 2 * theme.margin - 200)
        left = ft.Column([title, drawing, note, forget], spacing=GAP, width=half)
        return frame(theme, ft.Row([left, dials], spacing=theme.margin, expand=True))
    drawing = _drawing(view, theme, theme.column, min(220.0, theme.height * 0.26))
    column = ft.Column([title, drawing, note, dials, forget], spacing=GAP, expand=True)
    return frame(
        theme,
        ft.Row(
            [ft.Container(column, width=theme.column)],
            alignment=ft.MainAxisAlignment.CENTER,
            expand=True,
        ),
    )


def _drawing(view: WhatIfView, theme: Theme, width: float, height: float) -> ft.Control:
    return nut_drawing(view.slots, view.spoken, view.string, theme, width, max(110.0, height))


def _dial(dial: DialView, theme: Theme, act: Act) -> ft.Control:
    """Less, the name and where it stands, more; a turned one says so with a mark."""
    half = (theme.width - 3 * theme.margin) / 2
    width = half if theme.landscape else theme.column
    key = Dial(dial.key)
    name = say("{label} (changed)", label=dial.label) if dial.turned else dial.label
    less = say("Less {what}", what=dial.label)
    more = say("More {what}", what=dial.label)
    middle = ft.Column(
        [
            quiet(name, theme, size=theme.text_size * 0.8, lines=1),
            words(dial.value, theme, size=value_size(dial.value, width, theme), bold=True, lines=2),
        ],
        spacing=0,
        expand=True,
    )
    down = step_down(less, f"less-{key}", theme, lambda: act(Turn(key, -1)))
    up = step_up(more, f"more-{key}", theme, lambda: act(Turn(key, 1)))
    return between(down, middle, up)


def _call_line(name: str, said: str, theme: Theme) -> ft.Control:
    return ft.Column([quiet(name, theme), words(said, theme)], spacing=0)
