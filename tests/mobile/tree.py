"""Reads the tree of controls that a screen makes, as a finger and a screen reader meet it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from typing import Any

import flet as ft
from flet.components.component import Component, Renderer
from flet.controls.base_control import BaseControl

from logic.app.commands.commands import Command
from logic.app.views.views import View
from mobile.parts.theme import Theme
from mobile.root_screen import draw


@dataclass
class Drawn:
    """One screen drawn in CPython, with every command that its handlers send."""

    root: Any
    sent: list[Command]
    theme: Theme

    def all(self, kind: type[Any]) -> list[Any]:
        """Every control of a kind, in reading order."""
        return [control for control in walk(self.root) if isinstance(control, kind)]

    def buttons(self) -> list[ft.Semantics]:
        """Everything that can be touched."""
        return [each for each in self.all(ft.Semantics) if each.button]

    def button(self, mark: str) -> ft.Semantics:
        """The one button of that mark."""
        (found,) = [each for each in self.buttons() if each.identifier == mark]
        return found

    def marks(self) -> list[str]:
        """The marks of everything that can be touched, in reading order."""
        return [str(each.identifier) for each in self.buttons()]

    def sends(self, mark: str) -> list[Command]:
        """The commands that one touch on `mark` sends."""
        self.sent.clear()
        touch(self.button(mark))
        return list(self.sent)

    def words(self) -> str:
        """Everything that can be read, spoken names included."""
        return "\n".join(filter(None, (name_of(each) for each in walk(self.root))))


def drawn(view: View, theme: Theme) -> Drawn:
    """`view` as its screen draws it on a device of this look."""
    sent: list[Command] = []
    with Renderer().with_context():  # type: ignore[no-untyped-call]
        root = draw(view, theme, sent.append)
    return Drawn(root, sent, theme)


def walk(control: Any) -> Iterator[Any]:
    """`control` and everything in it, components rendered as they now stand."""
    yield control
    for child in children(control):
        yield from walk(child)


def children(control: Any) -> list[Any]:
    """The controls directly inside one."""
    if isinstance(control, Component):
        body = _rendered(control)
        return list(body) if isinstance(body, list) else [body]
    found: list[Any] = []
    for each in fields(control):
        if each.name.startswith("_") or each.name in ("parent", "page"):
            continue
        value = getattr(control, each.name, None)
        for part in value if isinstance(value, list | tuple) else [value]:
            if isinstance(part, BaseControl):
                found.append(part)
    return found


def _rendered(component: Component) -> Any:
    component._state.hook_cursor = 0
    renderer = Renderer(component)  # type: ignore[no-untyped-call]
    return renderer.render(component.fn, *component.args, **component.kwargs)


def touch(button: ft.Semantics) -> None:
    """What a finger does: the click of the surface inside."""
    surface = button.content
    assert isinstance(surface, ft.Container) and surface.on_click is not None
    handler: Callable[[Any], None] = surface.on_click  # type: ignore[assignment]
    handler(None)


def name_of(control: Any) -> str:
    """What a control says itself, without what is inside it."""
    if isinstance(control, ft.Text):
        spans = "".join(span.text or "" for span in control.spans or [])
        return f"{control.value}{spans}"
    return str(control.label or "") if isinstance(control, ft.Semantics) else ""


def spoken(button: ft.Semantics) -> str:
    """The name of a button for somebody who cannot see it."""
    if button.label:
        return str(button.label)
    return " ".join(filter(None, map(name_of, walk(button.content))))


@dataclass(frozen=True)
class Room:
    """The least height that controls can be laid out in, logical pixels."""

    line: float = 1.0
    """Of a line of text, in its size: no text is set tighter."""

    def of(self, control: Any) -> float:
        """The least height of one control."""
        if isinstance(control, Component):
            return max((self.of(child) for child in children(control)), default=0.0)
        given = getattr(control, "height", None)
        if given is not None and not isinstance(control, ft.Text):
            return float(given)
        return self._of_content(control)

    def _of_content(self, control: Any) -> float:
        match control:
            case ft.Text():
                lines = str(control.value).count("\n") + 1
                own = control.style.height if control.style else None
                return float(control.size or 14) * float(own or self.line) * lines
            case ft.ListView():
                return 0.0
            case ft.Column():
                if control.scroll:
                    return 0.0
                inside = list(map(self.of, control.controls))
                gap = 10.0 if control.spacing is None else float(control.spacing)
                return sum(inside) + gap * max(0, len(inside) - 1)
            case ft.Container():
                inner = self.of(control.content) if control.content else 0.0
                return inner + _vertical(control.padding)
            case _:
                return max(map(self.of, children(control)), default=0.0)


def _vertical(padding: Any) -> float:
    if padding is None:
        return 0.0
    if isinstance(padding, ft.Padding):
        return float(padding.top or 0) + float(padding.bottom or 0)
    return 2 * float(padding)
