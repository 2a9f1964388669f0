"""How the app stands on this device, and how it is put there by hand."""

from __future__ import annotations

from typing import Literal

from logic.app.views.record_views import InstallStep, InstallView
from logic.history.history import History
from shared.words import mark, say

_STEPS: tuple[tuple[Literal["share", "list", "add", "open"], str], ...] = (
    ("share", mark("Tap the share sign in the browser's bar: a square with an arrow out of it.")),
    ("list", mark("Go down the list that comes up, and tap “Add to Home Screen”.")),
    ("add", mark("Tap “Add”.")),
    ("open", mark("Open Nutwright by its picture on the home screen from now on.")),
)


def install_view(history: History, note: str) -> InstallView:
    """The steps; before them what to do about records that are here already."""
    before = say(
        "On some phones the installed app begins with an empty bench of its own. Hand out a copy "
        "of everything first; if the bench is empty there, take that file in under Records."
    )
    count = len(_STEPS)
    return InstallView(
        say("Installed, it starts without a network, and the browser keeps its records best."),
        tuple(
            InstallStep(picture, say(text), _spoken_step(number, count, say(text)))
            for number, (picture, text) in enumerate(_STEPS, start=1)
        ),
        before if history.vector else "",
        note,
    )


def _spoken_step(number: int, count: int, text: str) -> str:
    return say("Step {number} of {count}: {text}", number=number, count=count, text=text)
