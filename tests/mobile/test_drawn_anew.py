"""A screen that changes by itself: drawn anew only where it did, and never under a finger."""

from __future__ import annotations

from logic.app.commands import commands as do
from logic.app.views import views
from mobile.parts.theme import Theme
from mobile.shell import Shell
from shared.readings import Contact

# --- drawing anew ---


def shell_of(*shown: views.View) -> tuple[Shell, list[views.View]]:
    """A shell whose present place shows these one after the other; and what it told of."""
    left = list(shown)
    told: list[views.View] = []
    shell = Shell(shown[0], Theme(), do=lambda _: shown[0])
    shell.again = lambda: left.pop(0)
    shell.shown = told.append
    return shell, told


def test_nothing_is_drawn_anew_where_nothing_changed() -> None:
    """The same view is not told of again."""
    home = views.HomeView(())
    shell, told = shell_of(home, views.HomeView((), nudge="A copy, please."))
    shell.refresh()
    assert told == []
    shell.refresh()
    assert told == [views.HomeView((), nudge="A copy, please.")]


def test_an_answer_to_what_was_just_drawn_over_is_not_taken() -> None:
    """A finger on its way when the screen changed by itself answers nothing."""
    asked: list[do.Command] = []
    home = views.HomeView(())
    shell, _ = shell_of(home)

    def take(command: do.Command) -> views.View:
        asked.append(command)
        return home

    shell.do = take
    shell.again = lambda: views.HomeView((), nudge="Changed.")
    shell.now = lambda: 10.0
    shell.refresh()
    shell.now = lambda: 10.1
    shell.act(do.Feel(Contact.LIGHT))
    assert asked == []
    shell.now = lambda: 11.0
    shell.act(do.Feel(Contact.LIGHT))
    assert asked == [do.Feel(Contact.LIGHT)]
