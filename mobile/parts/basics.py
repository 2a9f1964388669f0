"""Words, lines and things to touch."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ParamSpec, cast

import flet as ft

from mobile.parts.focus_order import MAIN, REST
from mobile.parts.theme import GAP, TAP, Theme

if TYPE_CHECKING:
    from logic.app.commands.commands import Command

Act = Callable[["Command"], None]
P = ParamSpec("P")
LIT = "lit"
"""The key by which a list scrolls to what is lit."""
CLOSER = 1.15
"""Height of a line in a button, which may have two."""
RING = 5.0
"""How thick the line is around what is lit."""


def memoized(draw: Callable[P, ft.Control]) -> Callable[P, ft.Control]:
    """A component that is drawn again only when what it is given changes."""
    return cast("Callable[P, ft.Control]", ft.memo(ft.component(draw)))  # type: ignore[no-untyped-call]


def words(
    text: str,
    theme: Theme,
    *,
    size: float | None = None,
    bold: bool = False,
    color: str | None = None,
    lines: int | None = None,
    align: ft.TextAlign = ft.TextAlign.START,
    expand: bool | int | None = None,
) -> ft.Text:
    """Text in our type; tabular figures come with the family. Large text is broken, never cut."""
    kept = lines if theme.scale <= 1 else None
    return ft.Text(
        text,
        size=size or theme.text_size,
        weight=ft.FontWeight.W_700 if bold else ft.FontWeight.W_400,
        color=color or theme.palette.text,
        max_lines=kept,
        overflow=ft.TextOverflow.ELLIPSIS if kept else ft.TextOverflow.CLIP,
        text_align=align,
        expand=expand,
    )


def quiet(
    text: str, theme: Theme, *, size: float | None = None, lines: int | None = None
) -> ft.Text:
    """Text that supports other text."""
    return words(text, theme, size=size, color=theme.palette.quiet, lines=lines)


def heading(text: str, theme: Theme, *, size: float | None = None) -> ft.Control:
    """A heading, told to a screen reader as one."""
    return ft.Semantics(
        heading_level=1,
        container=True,
        content=words(text, theme, size=size or theme.text_size * 1.5, bold=True),
    )


def hairline(theme: Theme) -> ft.Control:
    """A line as thin as a first string."""
    return ft.Container(height=1, bgcolor=theme.palette.hairline)


def touch(
    content: ft.Control,
    theme: Theme,
    on_touch: Callable[[], None],
    *,
    mark: str,
    label: str | None = None,
    fill: str | None = None,
    line: str | None = None,
    height: float | None = TAP,
    width: float | None = None,
    expand: bool | int | None = None,
    padding: ft.PaddingValue = 12,
    align: ft.Alignment | None = None,
    chosen: bool | None = None,
    rank: int = REST,
    fixed: bool = False,
) -> ft.Control:
    """Something to touch, with a square shoulder. `mark` is its stable name for tests.

    `rank` is its place in the ring that two switches go round. Its height gives way to large text
    unless it is `fixed`.
    """
    lit = theme.lit == mark
    if theme.scale > 1 and height and not fixed:
        content, height = at_least(height, content, align), None
    return ft.Semantics(
        button=True,
        container=True,
        identifier=mark,
        label=label,
        selected=chosen,
        expand=expand,
        data=rank,
        content=ft.Container(
            key=ft.ScrollKey(LIT) if lit else None,  # type: ignore[call-arg]
            foreground_decoration=_ring(theme, fill) if lit else None,
            content=_unspoken(content) if label else content,
            height=height,
            width=width,
            padding=padding,
            alignment=align,
            bgcolor=fill,
            border=ft.Border.all(1, line) if line else None,
            ink=True,
            ink_color=ft.Colors.with_opacity(0.35, theme.palette.brass),
            on_click=lambda _: on_touch(),
        ),
    )


def at_least(height: float, content: ft.Control, align: ft.Alignment | None) -> ft.Control:
    """`content`, and the room for it however little it needs."""
    return ft.Stack(
        [ft.Container(height=height), content], alignment=align or ft.Alignment.CENTER_LEFT
    )


def _ring(theme: Theme, fill: str | None) -> ft.BoxDecoration:
    """A thick line along the edge; on brass a step inside it, in the colour of its words."""
    on_brass = fill == theme.palette.brass
    line = ft.BorderSide(
        RING,
        theme.palette.on_brass if on_brass else theme.palette.text,
        stroke_align=-3 if on_brass else -1,
    )
    return ft.BoxDecoration(border=ft.Border(line, line, line, line))


def _unspoken(content: ft.Control) -> ft.Control:
    """Its words are not read out, since something else is. Hidden as a whole, the button would lose
    its tap and its focus with them.
    """
    if isinstance(content, ft.Text):
        content.semantics_label = ""
    inside = getattr(content, "content", None)
    for part in [inside] if inside else getattr(content, "controls", []):
        _unspoken(part)
    return content


def main_button(
    text: str,
    theme: Theme,
    on_touch: Callable[[], None],
    *,
    mark: str,
    height: float = 64.0,
    expand: bool | int | None = None,
) -> ft.Control:
    """The one thing to do next, in brass."""
    size, ink = theme.text_size * 1.25, theme.palette.on_brass
    said = words(text, theme, size=size, bold=True, color=ink, align=ft.TextAlign.CENTER)
    said.style = ft.TextStyle(height=CLOSER)
    return touch(
        said,
        theme,
        on_touch,
        mark=mark,
        rank=MAIN,
        fill=theme.palette.brass,
        height=height,
        expand=expand,
        align=ft.Alignment.CENTER,
        padding=ft.Padding.symmetric(horizontal=8, vertical=2),  # room for a second line
    )


def plain_button(
    text: str,
    theme: Theme,
    on_touch: Callable[[], None],
    *,
    mark: str,
    expand: bool | int | None = None,
    height: float = 56.0,
    size: float | None = None,
    width: float | None = None,
    label: str | None = None,
    rank: int = REST,
    fixed: bool = False,
) -> ft.Control:
    """Something else to do; what is longer than the button is wide goes on in a second line."""
    said = words(text, theme, size=size, bold=True, lines=2, align=ft.TextAlign.CENTER)
    said.style = ft.TextStyle(height=CLOSER)
    return touch(
        said,
        theme,
        on_touch,
        mark=mark,
        label=label,
        rank=rank,
        fixed=fixed,
        line=theme.palette.hairline,
        height=height,
        width=width,
        expand=expand,
        align=ft.Alignment.CENTER,
        padding=ft.Padding.symmetric(horizontal=4),
    )


def choice_button(
    label: str,
    detail: str,
    chosen: bool,
    theme: Theme,
    on_touch: Callable[[], None],
    *,
    mark: str,
    height: float | None = None,
    expand: bool | int | None = None,
    small: bool = False,
    rank: int = REST,
) -> ft.Control:
    """One of several; the chosen one is filled and ticked, never coloured alone."""
    ink = theme.palette.on_brass if chosen else theme.palette.text
    size = theme.text_size * (0.78 if small else 0.92)
    said = [words(label, theme, size=size, bold=chosen, color=ink, lines=2)]
    if detail:
        soft = theme.palette.on_brass if chosen else theme.palette.quiet
        said.append(words(detail, theme, size=theme.text_size * 0.75, color=soft, lines=2))
    for each in said:
        each.style = ft.TextStyle(height=CLOSER)
    rows = list[ft.Control](said)
    text = ft.Column(rows, spacing=2, alignment=ft.MainAxisAlignment.CENTER, expand=True)
    cells: list[ft.Control] = [text]
    if chosen:
        cells.append(words("✓", theme, size=size, bold=True, color=ink))
    return touch(
        ft.Row(cells, spacing=4),
        theme,
        on_touch,
        mark=mark,
        rank=rank,
        fill=theme.palette.brass if chosen else None,
        line=theme.palette.hairline,
        height=height or (72.0 if detail else 56.0),
        expand=expand,
        chosen=chosen,
        padding=ft.Padding.symmetric(horizontal=6 if small else 10, vertical=2),
    )


def grid(cells: list[ft.Control], columns: int, gap: float = GAP) -> ft.Column:
    """Cells of equal width, row by row."""
    rows: list[ft.Control] = []
    for start in range(0, len(cells), columns):
        row = cells[start : start + columns]
        row += [ft.Container(expand=1) for _ in range(columns - len(row))]
        rows.append(ft.Row(row, spacing=gap))
    return ft.Column(rows, spacing=gap)
