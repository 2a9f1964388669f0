"""Keyboard and pedal: what a key does, by the keys of this bench and by what is on screen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from logic.app.commands.commands import (
    AskKey,
    Back,
    Command,
    GoHome,
    SeePlan,
    SetSetting,
    Undo,
    Walk,
)
from logic.app.commands.gap_commands import MeasureAction, MeasureRelief, SeeMeasured
from logic.app.commands.instrument_commands import CheckString, EndCheck
from logic.app.commands.string_commands import LackLeaf, SeeString
from logic.app.session.settings import KEY, actions_by_key
from logic.app.views.views import (
    ActionView,
    CheckView,
    CodeView,
    JoinView,
    NameView,
    PlanView,
    ReliefView,
    SettingsView,
    TypeView,
    View,
    WalkView,
)
from mobile.screens.answers import answers_of


@dataclass(frozen=True)
class FocusMove:
    """Light the next thing to touch."""


@dataclass(frozen=True)
class TakeFocused:
    """Touch what is lit."""


@dataclass(frozen=True)
class SayAgain:
    """Say again what is asked."""


@dataclass(frozen=True)
class KeyAction:
    """Touch the thing of this name."""

    target: str


Meaning = Command | FocusMove | TakeFocused | SayAgain | KeyAction
PAD_KEYS = {".": "Point", ",": "Point", "Backspace": "Delete", "-": "Minus", "Enter": "save"}
WRITTEN_ON = (NameView, CodeView, JoinView)
"""Screens of nothing but lines to write in: there letters, figures and spaces are what is written,
whether or not a line has the focus yet."""
EDITING = ("Backspace", "Delete", "Enter", "Arrow Left", "Arrow Right", "Arrow Up", "Arrow Down")
"""What writes on or moves the cursor in a line that has the focus."""
_TO_STRING: dict[type, Callable[[int], Command]] = {
    CheckView: CheckString,
    ReliefView: MeasureRelief,
    ActionView: MeasureAction,
}
"""What leads along the row of strings, where that is not the walk's own."""
_EVERYWHERE: dict[str, Meaning] = {
    "move": FocusMove(),
    "take": TakeFocused(),
    "say": SayAgain(),
    "undo": Undo(),
    "plan": SeePlan(),
    "back": Back(),
    "home": GoHome(),
}


def action_of(
    key: str, view: View, settings: Mapping[str, str], writing: bool = False
) -> Meaning | None:
    """What `key` does while `view` is shown; None when it does nothing. `writing`: a line to write
    in has the focus, and takes what is typed."""
    key = key.removeprefix("Numpad ")
    if isinstance(view, SettingsView) and view.waiting:
        return AskKey("") if key == "Escape" else SetSetting(KEY + view.waiting, key)
    if isinstance(view, TypeView) and (pressed := _on_the_pad(key)):
        return pressed
    if _is_written(key, view, writing):
        return None
    action = actions_by_key(dict(settings)).get(key, "")
    if isinstance(view, CheckView) and action == "plan":
        return EndCheck()
    if action == "card" and isinstance(view, PlanView) and view.opened is not None:
        return SeeString(view.opened)
    on_the_walk = _on_the_walk(action, view) if isinstance(view, WalkView) else None
    return _EVERYWHERE.get(action) or on_the_walk


def _is_written(key: str, view: View, writing: bool) -> bool:
    """Whether the line takes the key."""
    if writing and key in EDITING:
        return True
    return (writing or isinstance(view, WRITTEN_ON)) and (len(key) == 1 or key == "Backspace")


def _on_the_pad(key: str) -> KeyAction | None:
    """Figures are typed as they are read."""
    name = PAD_KEYS.get(key, key if key.isdecimal() and len(key) == 1 else "")
    return KeyAction("save-number" if name == "save" else f"key-{name}") if name else None


def _on_the_walk(action: str, view: WalkView) -> Command | None:
    """Four answers, highest first, and the steps along the row of strings."""
    what, _, place = action.partition("-")
    if what == "answer":
        return answers_of(view)[int(place) - 1].command
    to_string = _TO_STRING.get(type(view), Walk)
    order = [mark.string for mark in view.marks]
    here = order.index(view.string)
    match what:
        case "next":
            return to_string(order[(here + 1) % len(order)])
        case "previous":
            return to_string(order[here - 1])
        case "card" if isinstance(view, ReliefView | ActionView):
            return SeeMeasured()
        case "card" if not isinstance(view, CheckView):
            return SeeString(view.string)
        case "lack" if not isinstance(view, CheckView):
            return LackLeaf()
        case _:
            return None
