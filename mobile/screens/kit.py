"""The kit: which leaves, files and stock are in it, and what is lost or worn."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import (
    AdviseKit,
    Back,
    Command,
    ConfirmKit,
    EmptyKit,
    KitIntoJobs,
    MarkTool,
    SetMarking,
    ShowSizes,
    TakeSet,
    ToggleFile,
    ToggleLeaf,
    ToggleStock,
    TypeNumber,
    UseKit,
)
from logic.app.commands.kit_commands import HaveRule, HaveStraightEdge
from logic.app.views.views import Choice, KitView
from mobile.parts.basics import Act, choice_button, grid, plain_button, quiet, words
from mobile.parts.page import column, frame
from mobile.parts.sides import UNDO, undo_beside
from mobile.parts.text_metrics import SPACED_OUT, em
from mobile.parts.theme import GAP, Theme
from shared.kit import RuleClass
from shared.words import say

_OWN = {"leaf": "kit leaf", "file": "kit file", "shim": "kit shim"}
"""What the number pad is called that asks for the size of one more tool."""


def kit_screen(view: KitView, theme: Theme, act: Act) -> ft.Control:
    """What nobody has said yet first, whole sets before single sizes; a tap on a tool puts it in
    the kit, takes it out, or marks it."""
    body: list[ft.Control] = [
        *_choices(view.bags, "bag", UseKit, theme, act),
        *_standing(view, theme, act),
        *_choices(view.scales, "scale", ShowSizes, theme, act),
        words(say("Common sets"), theme, bold=True),
        *_choices(view.sets, "set", TakeSet, theme, act),
        words(say("Touching a size means"), theme, bold=True),
        *_choices(view.markings, "marking", SetMarking, theme, act),
        *_tools(view, say("Leaves"), "leaf", view.leaves, theme, act),
        *_tools(view, say("Files"), "file", view.files, theme, act),
        *_tools(view, say("Shims"), "shim", view.shims, theme, act),
        words(say("Shanks, {unit}", unit="mm"), theme, bold=True),
        grid(
            [
                _tool_button(c, "shank", ToggleStock("shanks", c.key), theme, act)
                for c in view.shanks
            ],
            _abreast(view.shanks, theme),
        ),
        words(say("For heights along the neck"), theme, bold=True),
        *_for_heights(view, theme, act),
        *_stock(say("Fills"), "fills", view.fills, theme, act),
        *_stock(say("Blanks"), "blanks", view.blanks, theme, act),
    ]
    return _with_undo(theme, body, view, act)


def _with_undo(theme: Theme, body: list[ft.Control], view: KitView, act: Act) -> ft.Control:
    """Undo beside the title, where there is anything to take back."""
    undo = undo_beside(theme, act) if view.can_undo else None
    large = theme.scale > 1
    side = ft.Container(undo, width=UNDO) if undo and not large else None
    if undo and large:
        body.insert(0, ft.Row([undo]))
    title = say("Kit")
    return frame(theme, column(theme, title, body, on_back=lambda: act(Back()), side=side))


def _standing(view: KitView, theme: Theme, act: Act) -> list[ft.Control]:
    """What was said of this kit, and the two answers to what is only assumed."""
    said = " ".join(filter(None, (view.trouble or view.changed, view.summary)))
    rows: list[ft.Control] = [
        ft.Semantics(live_region=True, container=True, content=quiet(said, theme))
    ]
    if view.assumed:
        rows.append(words(view.assumed, theme, bold=True))
        rows.append(_plain(say("All of it is here"), "all-here", ConfirmKit(), theme, act))
    rows.append(_plain(say("None of these: start empty"), "none-here", EmptyKit(), theme, act))
    if view.elsewhere:
        rows.append(_plain(view.elsewhere, "into-jobs", KitIntoJobs(), theme, act))
    rows.append(_plain(say("What to buy next"), "advise", AdviseKit(), theme, act))
    return [*rows, *(words(line, theme) for line in view.advice)]


def _plain(text: str, mark: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return plain_button(text, theme, lambda: act(command), mark=mark)


def _choices(
    choices: tuple[Choice, ...],
    sort: str,
    command: type[UseKit | ShowSizes | TakeSet | SetMarking],
    theme: Theme,
    act: Act,
) -> list[ft.Control]:
    """Choices of one sort, each with its command."""
    cells = [_tool_button(c, sort, command(c.key), theme, act) for c in choices]
    return [grid(cells, min(_abreast(choices, theme), 3 if len(cells) == 3 else 2))]


BESIDE = 30.0
"""What the frame of a button takes beside its words, and the gap before its tick."""


def _abreast(choices: tuple[Choice, ...], theme: Theme) -> int:
    """How many of these go in a row so that each is read whole, ticked or not: its name on one line
    or on two, what is said of it on one."""
    widest = max(map(_ems, choices)) * theme.text_size + BESIDE
    return max(1, int((theme.column + GAP) / (widest + GAP)))


def _ems(choice: Choice) -> float:
    """The width of a choice and its tick, in its theme's letters."""
    terms = choice.label.split()
    cuts = (" ".join(terms[:cut]) for cut in range(1, len(terms)))
    halves = [max(em(first), em(choice.label.removeprefix(first).strip())) for first in cuts]
    name = min([em(choice.label), *halves]) + em("✓")
    return max(0.92 * name, 0.92 * em("✓") + 0.75 * em(choice.detail)) * SPACED_OUT


def _for_heights(view: KitView, theme: Theme, act: Act) -> list[ft.Control]:
    """Whether a straight edge is here, and what stands on the rule."""
    edges = [
        _tool_button(c, "straight-edge", HaveStraightEdge(c.key == "yes"), theme, act)
        for c in view.straight_edges
    ]
    rules = [_tool_button(c, "rule", HaveRule(RuleClass(c.key)), theme, act) for c in view.rules]
    widest = (*view.straight_edges, *view.rules)
    return [grid([*edges, *rules], min(_abreast(widest, theme), 2))]


def _tools(
    view: KitView,
    title: str,
    sort: str,
    choices: tuple[Choice, ...],
    theme: Theme,
    act: Act,
) -> list[ft.Control]:
    """Every size of one sort of tool, and the way to one that is not listed."""
    unit = "mm" if sort == "shim" else view.unit
    own = {choice.key: choice.label for choice in view.own}[_OWN[sort]]
    cells = [_tool_button(c, sort, _touch_command(view, sort, c.key), theme, act) for c in choices]
    return [
        words(f"{title}, {unit}", theme, bold=True),
        grid(cells, _abreast(choices, theme)),
        _plain(own, f"own-{sort}", TypeNumber(_OWN[sort]), theme, act),
    ]


def _stock(
    title: str, sort: str, choices: tuple[Choice, ...], theme: Theme, act: Act
) -> list[ft.Control]:
    cells = [_tool_button(c, sort[:-1], ToggleStock(sort, c.key), theme, act) for c in choices]
    return [words(title, theme, bold=True), grid(cells, min(_abreast(choices, theme), 2))]


def _touch_command(view: KitView, sort: str, key: str) -> Command:
    """What a touch on a tool does now."""
    if view.marking != "in":
        return MarkTool(sort, key, view.marking)
    if sort == "shim":
        return ToggleStock("shims", key)
    return ToggleLeaf(key) if sort == "leaf" else ToggleFile(key)


def _tool_button(choice: Choice, sort: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        choice.detail,
        choice.chosen,
        theme,
        lambda: act(command),
        mark=f"{sort}-{choice.key}",
        height=None if theme.scale > 1 or choice.detail else 56.0,
        expand=1,
    )
