"""Keys and pedals at work: each key does its action, and two of them light and touch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

from logic.app.commands.string_commands import NextString
from logic.app.views.views import View, WalkView
from mobile.input.keys import FocusMove, KeyAction, Meaning, SayAgain, TakeFocused, action_of
from mobile.parts.focus_order import Target, after, focus_order_of
from mobile.shell import Shell

ACTIVATES = ("Enter", " ")
"""What touches the control that Tab has reached: then the browser does it, not we."""


class Announcer(Protocol):
    """Makes heard and seen what keys do."""

    def say_again(self) -> None:
        """Say in full what is asked now."""

    def lit(self, target: Target) -> None:
        """Say what was lit, and bring it into sight."""


@dataclass
class KeyHandler:
    """Hears the keys of one page."""

    shell: Shell
    root: Callable[[], Any]
    """What is on the screen now."""
    announcer: Announcer
    writing: Callable[[], bool] = bool
    """Whether a line to write in has the focus."""
    _view: View | None = None
    _last_lit: str = ""
    """What was lit last on `_view`: the way round goes on from there."""
    _tabbing_in: type[View] | None = None

    def press(self, key: str, *, held_with: bool = False) -> None:
        """One key went down; with control, alt or meta held it is the browser's."""
        if held_with or self._left_to_the_browser(key):
            return
        meaning = action_of(key, self.shell.view, self.shell.settings(), self.writing())
        if meaning is not None:
            self._do(meaning)

    def _left_to_the_browser(self, key: str) -> bool:
        """Whoever goes by Tab on this screen touches with Enter what Tab has reached."""
        if key == "Tab":
            self._tabbing_in = type(self.shell.view)
        return key in ACTIVATES and self._tabbing_in is type(self.shell.view)

    def _do(self, meaning: Meaning) -> None:
        match meaning:
            case FocusMove():
                self._light_next()
            case TakeFocused():
                self._take()
            case KeyAction(target):
                self._touch(target)
            case SayAgain():
                self.announcer.say_again()
            case command:
                self.shell.act(command)

    def _light_next(self) -> None:
        if self._view is not self.shell.view:
            self._view, self._last_lit = self.shell.view, ""
        target = after(focus_order_of(self.root()), self.shell.theme.lit or self._last_lit)
        if target:
            self._last_lit = target.id
            self.shell.light(target.id)
            self.announcer.lit(target)

    def _take(self) -> None:
        """Touch what is lit; where nothing is asked and nothing is lit, go on."""
        view, lit = self.shell.view, self.shell.theme.lit
        if not lit and isinstance(view, WalkView) and view.settled:
            self.shell.act(NextString())
        else:
            self._touch(lit)

    def _touch(self, target_id: str) -> None:
        """Touch the thing of this name; nothing stays lit."""
        for target in focus_order_of(self.root()) if target_id else ():
            if target.id == target_id:
                self.shell.light("")
                target.touch()
                return
