"""Keys and pedals at work: each key does its deed, and two of them light and take."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from logic.app.views.views import View
from mobile.input.focus_order import Target, after, focus_order_of
from mobile.input.keys import Deed, FocusMove, KeyAction, SayAgain, TakeFocused, action_of
from mobile.shell import Shell

ACTIVATES = ("Enter", " ")
"""What takes the control that Tab has reached: then the browser does it, not we."""


@dataclass
class KeyHandler:
    """Hears the keys of one page."""

    shell: Shell
    root: Callable[[], Any]
    """What is on the screen now."""
    lit: Callable[[Target], None] = field(default=lambda target: None)
    """Told what was lit, to say it and to bring it into sight."""
    again: Callable[[], None] = field(default=lambda: None)
    """Says again what is asked."""
    _view: View | None = None
    _was: str = ""
    _tabbing_in: type[View] | None = None

    def press(self, key: str, *, held_with: bool = False) -> None:
        """One key went down; with control, alt or meta held it is the browser's."""
        if held_with or self._left_to_the_browser(key):
            return
        deed = action_of(key, self.shell.view, self.shell.settings())
        if deed is not None:
            self._do(deed)

    def _left_to_the_browser(self, key: str) -> bool:
        """Whoever goes by Tab on this screen takes with Enter what Tab has reached."""
        if key == "Tab":
            self._tabbing_in = type(self.shell.view)
        return key in ACTIVATES and self._tabbing_in is type(self.shell.view)

    def _do(self, deed: Deed) -> None:
        match deed:
            case FocusMove():
                self._light_next()
            case TakeFocused():
                self._touch(self.shell.theme.lit)
            case KeyAction(mark):
                self._touch(mark)
            case SayAgain():
                self.again()
            case command:
                self.shell.act(command)

    def _light_next(self) -> None:
        if self._view is not self.shell.view:
            self._view, self._was = self.shell.view, ""
        target = after(focus_order_of(self.root()), self.shell.theme.lit or self._was)
        if target:
            self._was = target.mark
            self.shell.light(target.mark)
            self.lit(target)

    def _touch(self, mark: str) -> None:
        """Touch what has this mark; nothing stays lit."""
        for target in focus_order_of(self.root()) if mark else ():
            if target.mark == mark:
                self.shell.light("")
                target.touch()
                return
