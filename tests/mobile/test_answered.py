"""What an answer changes on the walk's screen: little, so that the next string is there at once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import flet as ft
import pytest
from flet.components.component import Renderer
from flet.controls.base_control import BaseControl
from flet.controls.object_patch import ObjectPatch

from logic.app.commands import commands as do
from logic.app.views.views import View, WalkView
from mobile.parts.large import MOST
from mobile.parts.theme import Theme
from mobile.root_screen import draw
from shared.readings import Contact
from tests.logic.app.apps import fresh_app, walking
from tests.mobile.tree import walk

ON_ONE_STRING, TO_THE_NEXT = 12, 28
"""Values sent to the page after an answer: 8 while the string stays, 21 where another follows."""
KEPT_DRAWN = 256
"""The largest sign, in pixels, that the drawing engine (Skia) keeps drawn; from memory."""
PIXELS = 2
"""Of a phone's glass to one of ours, as the benchmark draws it."""
SIDES = (Theme(width=390, height=844), Theme(width=844, height=390))
Change = list[dict[str, Any]]


class Screen:
    """Draws views one after the other, and tells what Flet would send for each."""

    def __init__(self, theme: Theme) -> None:
        self.theme = theme
        self.shown: Any = None
        self.act = self._act

    def _act(self, command: do.Command) -> None:
        """Nothing is touched here."""

    def show(self, view: View) -> Change:
        """Every value that changes on the page, and where."""
        with Renderer().with_context():  # type: ignore[no-untyped-call]
            before, self.shown = self.shown, draw(view, self.theme, self.act)
            patch, _, _ = ObjectPatch.from_diff(
                {"_b": before}, {"_b": self.shown}, control_cls=BaseControl, frozen=True
            )
        return patch.patch

    def within(self, change: dict[str, Any]) -> Iterator[Any]:
        """The controls from the screen down to the one that changes."""
        found: Any = {"_b": self.shown}
        for step in change["path"][:-1]:
            inside = isinstance(found, dict | list)
            found = found[step] if inside else getattr(found, step)
            yield found


def answered(theme: Theme) -> Iterator[tuple[Screen, WalkView, Change]]:
    """What each of some answers changes, over two strings."""
    app, screen = fresh_app(), Screen(theme)
    screen.show(walking(app))
    for contact in (Contact.NONE, Contact.LIGHT, Contact.HEAVY, Contact.NONE, Contact.HEAVY):
        view = app.do(do.Feel(contact))
        assert isinstance(view, WalkView)
        yield screen, view, screen.show(view)


@pytest.mark.parametrize("theme", SIDES)
def test_an_answer_changes_few_values(theme: Theme) -> None:
    """Of the hundreds of values on the walk's screen, a handful is sent anew."""
    sent = [len(change) for _, _, change in answered(theme)]
    assert min(sent) > 0 and sorted(sent)[len(sent) // 2] <= ON_ONE_STRING
    assert max(sent) <= TO_THE_NEXT


@pytest.mark.parametrize("theme", SIDES)
def test_an_answer_leaves_the_answers_alone(theme: Theme) -> None:
    """Nothing of the answers and of what stands beside them changes from string to string."""
    for screen, _, change in answered(theme):
        marks = {
            str(each.identifier)
            for one in change
            for each in screen.within(one)
            if isinstance(each, ft.Semantics) and each.identifier
        }
        assert marks and not [m for m in marks if m.startswith("answer-") or m == "undo"]


@pytest.mark.parametrize("theme", SIDES)
def test_the_leafs_number_is_of_signs_that_stay_drawn(theme: Theme) -> None:
    """No sign is larger than what the drawing engine keeps; larger ones cost a frame anew."""
    assert MOST * PIXELS < KEPT_DRAWN
    for screen, view, _ in answered(theme):
        sizes = {
            each.value: float(each.size or 0)
            for each in walk(screen.shown)
            if isinstance(each, ft.Text)
        }
        assert max(sizes.values()) <= MOST
        assert sizes[view.number] == max(sizes.values())
