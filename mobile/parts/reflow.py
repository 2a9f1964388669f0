"""The same screen in large text: nothing is cut off, everything scrolls as one page.

Screens are laid out for the usual size, with parts that stay and lists that move. Where text is set
larger, what stood side by side and no longer fits goes below each other, heights give way to what
they hold, and the whole screen becomes one list. Only the one thing to do next stays under the
thumb.
"""

from __future__ import annotations

from typing import Any

import flet as ft

from mobile.parts.focus_order import MAIN
from mobile.parts.text_metrics import RUNNING, em, run_over
from mobile.parts.theme import GAP, Theme

AROUND = 28.0
"""Padding and edges of a button beside its words."""


SHARE = 0.36
"""How much of the screen's height what stays under the list may take."""


def reflowed(content: ft.Control, theme: Theme) -> ft.Control:
    """`content` as it is at the usual size; in larger text as one column that scrolls, and under it
    the one thing to do next."""
    if theme.scale <= 1:
        return content
    title = _title(content)  # another screen starts from its top
    next_thing = _taken_out(content, theme)
    listed = ft.ListView([in_one_column(content, theme)], expand=True, key=title or None)
    if next_thing is None:
        return listed
    stays = ft.Container(in_one_column(next_thing, theme), width=theme.column)
    centred = ft.Row([stays], alignment=ft.MainAxisAlignment.CENTER)
    return ft.Column([listed, centred], spacing=GAP, expand=True)


def _taken_out(control: Any, theme: Theme) -> Any:
    """The row with the one thing to do next, taken out of what does not scroll; None where there is
    no such row."""
    if isinstance(control, ft.ListView):
        return None
    inside = getattr(control, "controls", None) or [getattr(control, "content", None)]
    for each in filter(None, inside):
        if isinstance(control, ft.Column) and _does_next(each, theme):
            control.controls.remove(each)
            return each
        found = _taken_out(each, theme)
        if found is not None:
            return found
    return None


def _does_next(control: Any, theme: Theme) -> bool:
    """Whether this is the main thing to touch, or a row of buttons with it, and low enough."""
    buttons: list[Any] = control.controls if isinstance(control, ft.Row) else [control]
    if not all(map(_is_button, buttons)) or all(each.data != MAIN for each in buttons):
        return False
    abreast = min(len(buttons), _that_fit(ft.Row(buttons), theme))
    highest = max(_height(each, theme.column / abreast - AROUND) for each in buttons)
    return -(-len(buttons) // abreast) * (highest + AROUND) <= SHARE * theme.height


def _height(control: Any, width: float) -> float:
    """About how high the words in a button stand in this width."""
    if isinstance(control, ft.Text):
        size = float(control.size or 14)
        return len(run_over(str(control.value), width / size)) * size * RUNNING
    inside = getattr(control, "controls", None) or [getattr(control, "content", None)]
    heights = [_height(each, width) for each in inside if each is not None]
    return sum(heights)


def _is_button(control: Any) -> bool:
    return isinstance(control, ft.Semantics) and bool(control.button)


def in_one_column(control: ft.Control, theme: Theme) -> ft.Control:
    """`control` with nothing in it that needs a height of its own; itself at the usual size."""
    if theme.scale <= 1:
        return control
    match control:
        case ft.ListView() | ft.Column():
            return _column(control.controls, control.spacing, theme)
        case ft.Row():
            return _row(control, theme)
        case ft.Container(content=ft.Control() as inner):
            control.content = in_one_column(inner, theme)
            if control.width is None or control.height is None:  # else it holds a drawing
                control.height = None
                widest = min(_widest_word(control.content), theme.column)
                control.width = control.width and max(control.width, widest)
        case ft.Semantics(content=ft.Control() as inner) if not control.button:
            control.content = in_one_column(inner, theme)
    return control


def _column(controls: list[Any], spacing: Any, theme: Theme) -> ft.Column:
    kept = [each for each in controls if not _is_spring(each)]
    inside: list[ft.Control] = [in_one_column(each, theme) for each in kept]
    for each in inside:
        each.expand = None
    gap = GAP if spacing is None else spacing
    stretch = ft.CrossAxisAlignment.STRETCH
    return ft.Column(inside, spacing=gap, horizontal_alignment=stretch, tight=True)


def _is_spring(control: Any) -> bool:
    """Empty space that only pushes apart."""
    return isinstance(control, ft.Container) and control.content is None and bool(control.expand)


def _row(row: ft.Row, theme: Theme) -> ft.Control:
    """Panes go below each other, and so do buttons whose words no longer fit beside each other."""
    row.height = None
    if any(_is_pane(each) for each in row.controls) and len(row.controls) > 1:
        for pane in row.controls:
            pane.width = None  # type: ignore[attr-defined]
        return _column(row.controls, row.spacing, theme)
    count = len(row.controls)
    fit = _that_fit(row, theme)
    row.controls = [in_one_column(each, theme) for each in row.controls]
    if fit >= count or count < 2:
        return row
    lines = [row.controls[start : start + fit] for start in range(0, count, fit)]
    rows: list[ft.Control] = [ft.Row(line, spacing=row.spacing) for line in lines]
    return ft.Column(rows, spacing=row.spacing, tight=True)


def _title(control: Any) -> str:
    """The words of the heading, which tell one screen from another."""
    if isinstance(control, ft.Semantics) and control.heading_level:
        return str(control.label or getattr(control.content, "value", ""))
    inside = getattr(control, "controls", None) or [getattr(control, "content", None)]
    return next(filter(None, (_title(each) for each in inside if each is not None)), "")


def _is_pane(control: Any) -> bool:
    """A part of a screen that takes its whole height."""
    inner = control.content if isinstance(control, ft.Container) else control
    return isinstance(inner, ft.ListView) or (
        isinstance(inner, ft.Column) and (bool(inner.expand) or inner.width is not None)
    )


def _that_fit(row: ft.Row, theme: Theme) -> int:
    """How many of the row's buttons fit beside each other without breaking a word."""
    if not all(map(_is_button, row.controls)):
        return len(row.controls)
    widest = max(_widest_word(each) for each in row.controls) + AROUND
    return max(1, int(theme.column / (widest + GAP)))


def _widest_word(control: Any) -> float:
    if isinstance(control, ft.Text):
        size = float(control.size or 14)
        return max((em(word) * size for word in str(control.value).split()), default=0.0)
    inside = getattr(control, "controls", None) or [getattr(control, "content", None)]
    widths = [_widest_word(each) for each in inside if each is not None]
    return sum(widths) if isinstance(control, ft.Row) else max(widths, default=0.0)
