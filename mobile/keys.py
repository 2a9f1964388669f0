"""Keyboard and pedal: every key comes down to a command, by what is on screen."""

from __future__ import annotations

from logic.desk.commands import (
    Ask,
    Back,
    Command,
    GoHome,
    NewJob,
    SeePlan,
    SkipGates,
    Undo,
    Walk,
)
from logic.desk.views import (
    HomeView,
    IntakeView,
    PlanView,
    PreconditionsView,
    Prompt,
    View,
    WalkView,
)
from mobile.screens.walk import BUZZ_ANSWERS, LEAF_ANSWERS

_ANYWHERE: dict[str, Command] = {"Escape": Back(), "Backspace": Undo(), "U": Undo()}
_FORWARD = ("Enter", "Page Down", "Arrow Right", " ")
_BACK = ("Page Up", "Arrow Left")


def command_for(key: str, view: View) -> Command | None:
    """What `key` means while `view` is shown; None when it means nothing."""
    key = key.removeprefix("Numpad ")
    if isinstance(view, WalkView):
        return _in_the_walk(key, view)
    if key in _BACK:
        return Back()
    if key in _FORWARD:
        return _forward(view)
    return _ANYWHERE.get(key)


def _forward(view: View) -> Command | None:
    match view:
        case HomeView():
            return NewJob()
        case IntakeView():
            return Ask()
        case PreconditionsView():
            return SkipGates()
        case PlanView():
            return Walk()
        case _:
            return None


def _in_the_walk(key: str, view: WalkView) -> Command | None:
    """Digits answer, highest first; arrows go from string to string."""
    answers = BUZZ_ANSWERS if view.prompt is Prompt.BUZZ else LEAF_ANSWERS
    if key in "1234" and len(key) == 1:
        return answers[int(key) - 1].command
    order = [mark.string for mark in view.marks]
    place = order.index(view.string)
    if key in ("Arrow Right", "Page Down"):
        return Walk(order[(place + 1) % len(order)])
    if key in ("Arrow Left", "Page Up"):
        return Walk(order[place - 1])
    if key in ("P", "Enter"):
        return SeePlan()
    if key == "H":
        return GoHome()
    return _ANYWHERE.get(key)
