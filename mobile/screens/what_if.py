"""What if: six dials, and the nut as it would be while they turn."""

from __future__ import annotations

import flet as ft

from logic.bench.dial import Dial
from logic.desk.commands import Back, ForgetWhatIf, Turn, WhatIf
from logic.desk.views import DialView, WhatIfView
from mobile.look import GAP, Look
from mobile.parts.basics import Act, plain_button, quiet, words
from mobile.parts.nut_drawing import nut_drawing
from mobile.parts.page import frame, title_row
from mobile.parts.pointing import pointing
from mobile.parts.stepping import between, step_down, step_up
from shared.words import say


def what_if_screen(view: WhatIfView, look: Look, act: Act) -> ft.Control:
    """The drawing stays in sight above the dials, or beside them in landscape."""
    back = lambda: act(Back())  # noqa: E731
    title = title_row(look, say("What if"), back, say("Plan"))
    dials = ft.ListView(
        [
            pointing(view.marks, view.string, WhatIf, look, act),
            *(_dial(dial, look, act) for dial in view.dials),
            *(_line(name, said, look) for name, said in view.lines),
        ],
        spacing=GAP,
        expand=True,
    )
    note = quiet(say("Nothing of this is recorded."), look, size=look.text_size * 0.85)
    forget = plain_button(say("As recorded"), look, lambda: act(ForgetWhatIf()), mark="forget")
    if look.landscape:
        half = (look.width - 3 * look.margin) / 2
        drawing = _drawing(view, look, half, look.height - 2 * look.margin - 200)
        left = ft.Column([title, drawing, note, forget], spacing=GAP, width=half)
        return frame(look, ft.Row([left, dials], spacing=look.margin, expand=True))
    drawing = _drawing(view, look, look.column, min(220.0, look.height * 0.26))
    column = ft.Column([title, drawing, note, dials, forget], spacing=GAP, expand=True)
    return frame(
        look,
        ft.Row(
            [ft.Container(column, width=look.column)],
            alignment=ft.MainAxisAlignment.CENTER,
            expand=True,
        ),
    )


def _drawing(view: WhatIfView, look: Look, width: float, height: float) -> ft.Control:
    return nut_drawing(view.slots, view.spoken, view.string, look, width, max(110.0, height))


def _dial(dial: DialView, look: Look, act: Act) -> ft.Control:
    """Less, the name and where it stands, more; a turned one says so with a mark."""
    key = Dial(dial.key)
    name = say("{label} (changed)", label=dial.label) if dial.turned else dial.label
    less = say("Less {what}", what=dial.label)
    more = say("More {what}", what=dial.label)
    middle = ft.Column(
        [
            quiet(name, look, size=look.text_size * 0.8, lines=1),
            words(dial.value, look, bold=True, lines=1),
        ],
        spacing=0,
        expand=True,
    )
    down = step_down(less, f"less-{key}", look, lambda: act(Turn(key, -1)))
    up = step_up(more, f"more-{key}", look, lambda: act(Turn(key, 1)))
    return between(down, middle, up)


def _line(name: str, said: str, look: Look) -> ft.Control:
    return ft.Column([quiet(name, look), words(said, look)], spacing=0)
