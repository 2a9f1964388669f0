"""What can be touched on the screen, in the order in which two switches go through it.

One switch lights the next thing, after the last the first again; the other touches what is lit.
Nothing is lit when a screen appears and after every touch, so a pedal that repeats itself touches
nothing twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import flet as ft
from flet.components.component import Component

MAIN, UNDO, PLAN, REST, LEAVE = range(5)
"""The rank of something to touch, kept as its control's `data`: first the answers or the one thing
to do next, then undo, then the plan, last the way out; so the order is the same on every screen.
"""


@dataclass(frozen=True)
class Target:
    """One thing to touch."""

    id: str
    """The identifier of its control."""
    label: str
    touch: Callable[[], None]
    rank: int = REST


def focus_order_of(root: Any) -> list[Target]:
    """Everything to touch in what is shown under `root`, what matters most first."""
    return sorted(_targets(root), key=lambda target: target.rank)


def after(order: list[Target], target_id: str) -> Target | None:
    """The one after the target of this name, after the last the first; the first where no target
    has this name."""
    ids = [target.id for target in order]
    place = ids.index(target_id) + 1 if target_id in ids else 0
    return order[place % len(order)] if order else None


def list_above(root: Any, target_id: str) -> ft.ListView | None:
    """The list that the target of this name scrolls in."""
    if isinstance(root, ft.Semantics) and root.identifier == target_id:
        return None
    for child in _children(root):
        if any(target.id == target_id for target in _targets(child)):
            within = list_above(child, target_id)
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
    label = str(button.label or " ".join(_texts(surface)))
    return Target(str(button.identifier), label, lambda: handler(None), int(button.data))


def _nothing(_: Any) -> None:
    """What a touch on something that cannot be touched now does."""


def _texts(control: Any) -> Iterator[str]:
    if isinstance(control, ft.Text) and control.value:
        yield str(control.value)
    for child in _children(control):
        yield from _texts(child)


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
