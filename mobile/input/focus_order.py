"""What can be touched on the screen, in order: the ring that two switches go round.

One switch lights the next of the ring, the other takes what is lit. Nothing is lit when a screen
appears and after everything taken, so a pedal that repeats itself takes nothing twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import flet as ft
from flet.components.component import Component

MAIN, UNDO, PLAN, REST, LEAVE = range(5)
"""Where in the ring something stands, kept as its control's `data`: first the answers or the one
thing to do next, then undo, then the plan, last the way out; so the way round is always the same.
"""


@dataclass(frozen=True)
class Target:
    """One thing to touch."""

    mark: str
    label: str
    touch: Callable[[], None]
    rank: int = REST


def focus_order_of(root: Any) -> list[Target]:
    """Everything to touch in what is shown under `root`, what matters most first."""
    return sorted(_targets(root), key=lambda target: target.rank)


def after(ring: list[Target], mark: str) -> Target | None:
    """The one after `mark`, round the end; the first where `mark` is not in the ring."""
    marks = [target.mark for target in ring]
    place = marks.index(mark) + 1 if mark in marks else 0
    return ring[place % len(ring)] if ring else None


def list_above(root: Any, mark: str) -> ft.ListView | None:
    """The list that what has this mark scrolls in."""
    if isinstance(root, ft.Semantics) and root.identifier == mark:
        return None
    for child in _children(root):
        if any(target.mark == mark for target in _targets(child)):
            within = list_above(child, mark)
            return within or (root if isinstance(root, ft.ListView) else None)
    return None


def _targets(control: Any) -> Iterator[Target]:
    if isinstance(control, ft.Semantics) and control.button and control.identifier:
        yield _target(control)
        return
    for child in _children(control):
        yield from _targets(child)


def _target(button: ft.Semantics) -> Target:
    surface = button.content
    assert isinstance(surface, ft.Container)
    handler: Callable[[Any], None] = surface.on_click or _nothing  # type: ignore[assignment]
    label = str(button.label or " ".join(_words(surface)))
    return Target(str(button.identifier), label, lambda: handler(None), int(button.data))


def _nothing(_: Any) -> None:
    """What a touch on something that cannot be touched now does."""


def _words(control: Any) -> Iterator[str]:
    if isinstance(control, ft.Text) and control.value:
        yield str(control.value)
    for child in _children(control):
        yield from _words(child)


def _children(control: Any) -> list[Any]:
    """What may hold something to touch, inside one control."""
    if isinstance(control, list):
        return control
    if isinstance(control, Component):
        body = control._b
        return body if isinstance(body, list) else [body]
    inside = getattr(control, "controls", None)
    if inside is None:
        inside = [getattr(control, "content", None)]
    return [each for each in inside if each is not None]
