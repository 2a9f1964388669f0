"""What was taken back is said above any screen, and the screen stays whole below it."""

from __future__ import annotations

from dataclasses import replace

import flet as ft
import pytest
from flet.components.component import Renderer

from logic.app.commands import commands as do
from logic.app.views import views
from mobile.parts.page import telling
from mobile.parts.theme import Theme
from mobile.root_screen import root_screen
from mobile.shell import Shell
from tests.logic.app.apps import fresh_app, in_plan, walking
from tests.mobile.scenes import LOOKS, scenes
from tests.mobile.tabs import working_shell
from tests.mobile.tree import Room, drawn, walk

TOLD = "Taken back: “Relief is right” to “How is the relief, with a straightedge?” for string 6."
SHOWN = ["plan", "plan opened", "intake", "preconditions", "card", "ways", "instrument", "home"]


def told_in(root: object) -> list[str]:
    """Every word of the line above the screen."""
    lines = [e for e in walk(root) if isinstance(e, ft.Semantics) and e.identifier == "told"]
    assert all(line.live_region for line in lines)
    return [str(text.value) for line in lines for text in walk(line) if isinstance(text, ft.Text)]


@pytest.mark.parametrize("scene", [each for each in SHOWN if each in scenes()])
def test_it_stands_above_the_screen_which_stays_whole(scene: str) -> None:
    """On every size, in the usual letters and at 200 %: the frame is the device's, the words are
    all there, and what does not scroll fits the height that is left."""
    for look in LOOKS:
        for scale in (1.0, 2.0):
            theme = telling(replace(look, scale=scale), TOLD)
            root = drawn(scenes()[scene], theme).root
            assert (root.width, root.height) == (look.width, look.height)
            assert told_in(root) == [TOLD]
            assert Room(line=1.2).of(root.content) <= look.height - 2 * root.padding


def test_without_anything_told_nothing_is_changed() -> None:
    """The same look, and no line."""
    theme = Theme()
    assert telling(theme, "") == theme
    assert told_in(drawn(scenes()["plan"], theme).root) == []


def on_screen(shell: Shell) -> list[str]:
    """The line above what the shell shows."""
    with Renderer().with_context():  # type: ignore[no-untyped-call]
        return told_in(root_screen(shell))


def test_an_undo_is_told_on_the_plan_and_gone_with_the_next_touch() -> None:
    """The real app behind the shell: an undo that stays on the plan says above it what is gone;
    on the walk it stands in the walk's own line, and nothing above."""
    app = fresh_app()
    walking(app)
    in_plan(app, 6)
    app.do(do.SetToTarget(True))
    shell = working_shell(app)
    shell.act(do.Undo())
    assert isinstance(shell.view, views.PlanView)
    assert shell.announced == "Taken back: whether all come down to their targets."
    assert on_screen(shell) == [shell.announced]
    shell.act(do.SeePlan())
    assert shell.announced == "" and on_screen(shell) == []
