"""A screen that changes by itself: drawn anew only where it did, and never under a finger."""

from __future__ import annotations

from dataclasses import dataclass, field

from logic.app.commands import commands as do
from logic.app.views import views
from mobile.shell import Shell
from shared.readings import Contact
from tests.mobile.tabs import StillApp, TestClock, working_shell

HOME = views.HomeView(())
NUDGED = views.HomeView((), nudge="A copy, please.")


@dataclass
class Changing(StillApp):
    """An app whose present place shows these one after the other."""

    left: list[views.View] = field(default_factory=list)

    def view(self) -> views.View:
        """The next of them, the last for ever."""
        return self.left.pop(0) if len(self.left) > 1 else self.left[0]


def shell_of(*shown: views.View) -> tuple[Shell, Changing, list[views.View]]:
    """A shell of such an app, and what it tells of."""
    app = Changing(left=list(shown))
    shell = working_shell(app, TestClock(10.0))
    shown: list[views.View] = []
    shell.follow(shown.append)
    shown.clear()
    return shell, app, shown


def test_nothing_is_drawn_anew_where_nothing_changed() -> None:
    """The same view is not shown again."""
    shell, _, shown = shell_of(HOME, HOME, NUDGED)
    shell.refresh()
    assert shown == []
    shell.refresh()
    assert shown == [NUDGED]


def test_an_answer_to_what_was_just_drawn_over_is_not_taken() -> None:
    """A finger on its way when the screen changed by itself answers nothing."""
    shell, app, _ = shell_of(HOME, NUDGED)
    assert isinstance(shell.now_s, TestClock)
    shell.refresh()
    shell.now_s.seconds += 0.1
    shell.act(do.Feel(Contact.LIGHT))
    assert app.done == []
    shell.now_s.seconds += 0.9
    shell.act(do.Feel(Contact.LIGHT))
    assert app.done == [do.Feel(Contact.LIGHT)]
