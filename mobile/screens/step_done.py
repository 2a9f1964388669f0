"""What was done to the instrument in a whole visit, and whether it is in tune again."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Back, Command, Undo
from logic.app.commands.visit_commands import (
    CountEighths,
    InTune,
    KeepStrings,
    MovedSaddle,
    MoveSaddle,
    Rested,
    SaddleAt,
    SeeStages,
    SeeStepDone,
    StringsDone,
    TurnedRod,
)
from logic.app.views.visit_views import InTuneView, StepDoneView
from mobile.parts.basics import Act, main_button, plain_button, quiet, words
from mobile.parts.page import page, title_row
from mobile.parts.pointing import pointing
from mobile.parts.sides import two_sides
from mobile.parts.stepping import stepper
from mobile.parts.text_metrics import whole
from mobile.parts.theme import GAP, Theme
from shared.words import say


def step_done_screen(view: StepDoneView, theme: Theme, act: Act) -> ft.Control:
    """The list of what can be said done, or one kind of it: what to mind, and that it is done."""
    parts = {"turn": _turn, "saddle": _saddle, "strings": _strings}
    moving, foot = parts.get(view.what, _list)(view, theme, act)
    still: list[ft.Control] = [title_row(theme, _title(view), lambda: act(Back()))]
    if view.why:
        moving.insert(0, words(view.why, theme, bold=True))
    return two_sides(theme, still, moving, foot, f"step done {view.what}")


def _title(view: StepDoneView) -> str:
    titles = {
        "turn": say("The rod"),
        "saddle": say("The saddle"),
        "strings": say("The strings"),
    }
    return titles.get(view.what, say("What was done"))


Drawn = tuple[list[ft.Control], list[ft.Control]]
"""What scrolls, and what stands under the thumb."""


def _list(view: StepDoneView, theme: Theme, act: Act) -> Drawn:
    """Each kind of work on a page of its own; that it rested is said in one tap."""
    ways = (
        (say("I turned the rod"), "turn"),
        (say("I moved the saddle"), "saddle"),
        (say("Strings changed or retuned"), "strings"),
    )
    rows = [_way(text, f"did-{what}", SeeStepDone(what), theme, act) for text, what in ways]
    lain = [words(view.lain, theme)] if view.lain else []
    return [*rows, *lain, rested(theme, act)], []


def _way(
    text: str, mark: str, command: Command, theme: Theme, act: Act, height: float = 64.0
) -> ft.Control:
    return plain_button(text, theme, lambda: act(command), mark=mark, height=height)


def rested(theme: Theme, act: Act) -> ft.Control:
    """That it lay, or came from another room: what was read of it may have moved."""
    text = say("It rested, or came from another room")
    return _way(text, "rested", Rested(), theme, act)


def _turn(view: StepDoneView, theme: Theme, act: Act) -> Drawn:
    """What to mind first; how far is counted by whoever wants to."""
    steps = (CountEighths(-1), CountEighths(1))
    moving: list[ft.Control] = [
        _caution(view, theme),
        stepper("eighths", say("Turned by"), view.amount, steps, theme, act),
        quiet(say("− towards less relief, + towards more. It need not be counted."), theme),
    ]
    return moving, [_done(say("I turned the rod"), TurnedRod(), theme, act)]


def _saddle(view: StepDoneView, theme: Theme, act: Act) -> Drawn:
    """Under which string, and how far where that was measured."""
    steps = (MoveSaddle(-1), MoveSaddle(1))
    moving: list[ft.Control] = [
        _caution(view, theme),
        pointing(view.marks, view.string, SaddleAt, theme, act),
        stepper("height", say("Moved by"), view.amount, steps, theme, act),
        quiet(say("It need not be measured."), theme),
    ]
    return moving, [_done(say("I moved the saddle"), MovedSaddle(), theme, act)]


def _strings(view: StepDoneView, theme: Theme, act: Act) -> Drawn:
    """New ones, others' pitch, or those that were on."""
    rows: list[ft.Control] = [
        _caution(view, theme),
        _way(say("New strings are on"), "strings-changed", StringsDone("changed"), theme, act),
        _way(
            say("They have another tuning"), "strings-retuned", StringsDone("retuned"), theme, act
        ),
    ]
    if view.stays:
        rows.append(_way(say("The old ones stay on"), "strings-stay", KeepStrings(), theme, act))
    return rows, []


def _caution(view: StepDoneView, theme: Theme) -> ft.Control:
    boxed = ft.Container(
        words(view.caution, theme, size=theme.text_size * 0.9),
        padding=12,
        border=ft.Border.all(2, theme.palette.alarm),
    )
    return ft.Semantics(container=True, identifier="caution", content=boxed)


def _done(text: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return ft.Row([main_button(text, theme, lambda: act(command), mark="step-taken", expand=1)])


def in_tune_screen(view: InTuneView, theme: Theme, act: Act) -> ft.Control:
    """One question after each change of tension, and two answers."""
    usual = theme.text_size * 1.4
    asked = say("In tune again?")
    size = whole(asked, theme.column, usual) if theme.scale > 1 else usual
    body: list[ft.Control] = [
        words(asked, theme, size=size, bold=True),
        words(view.why, theme),
        words(view.tuning, theme, bold=True),
        *([quiet(view.count, theme)] if view.count else []),
    ]
    later = plain_button(
        say("Not yet"), theme, lambda: act(SeeStages()), mark="not-in-tune", expand=1, height=64
    )
    undo = plain_button(say("Undo"), theme, lambda: act(Undo()), mark="undo", expand=1, height=64)
    yes = main_button(say("In tune"), theme, lambda: act(InTune()), mark="in-tune", expand=2)
    beside = theme.landscape and theme.scale <= 1
    rows = [[undo, later, yes]] if beside else [[yes], [undo, later]]
    foot = [ft.Row(list[ft.Control](row), spacing=GAP) for row in rows]
    return page(theme, view.title, body, foot=[*foot], on_back=lambda: act(Back()))
