"""A visit of the whole instrument: what it is for, its player, the look, its stages."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Back, Command, GoHome, SeePlan
from logic.app.commands.instrument_commands import SeeTakenIn
from logic.app.commands.visit_commands import (
    AllAsItShould,
    ChooseScope,
    GoOnVisit,
    OpenPart,
    ReopenPart,
    SavePlayer,
    SeeStepDone,
    SeeVisit,
    SkipLook,
    SkipPart,
)
from logic.app.views.visit_views import (
    LookView,
    PartLine,
    PartStanding,
    PlayerView,
    StagesView,
    VisitView,
)
from mobile.parts.basics import (
    Act,
    at_least,
    choice_button,
    grid,
    main_button,
    plain_button,
    quiet,
    touch,
    words,
)
from mobile.parts.page import page, title_row
from mobile.parts.sides import UNDO, list_width, side_width, titled, two_sides, undo_beside
from mobile.parts.text_metrics import row_size, share_of
from mobile.parts.theme import GAP, TAP, Theme
from mobile.parts.writing import written
from mobile.screens.plan_next import brass
from mobile.screens.questions import precondition
from mobile.screens.step_done import rested
from shared.setup import LONGEST_WISH, Scope
from shared.words import say

SMALL = 0.85
"""Size of what stands below a name, in parts of the text's."""
ABOVE = 8.0
"""Above and below the words of a part."""
ASIDE = 96.0
"""Width of the way past a part, beside it."""
_SIGNS = {
    PartStanding.DONE: "✓",
    PartStanding.DUE: "›",
    PartStanding.LATER: "·",
    PartStanding.SKIPPED: "–",
    PartStanding.STALE: "?",
    PartStanding.OUT: "!",
    PartStanding.BY_HAND: "~",
}


def visit_screen(view: VisitView, theme: Theme, act: Act) -> ft.Control:
    """What the visit is for: one tap."""
    cells: list[ft.Control] = [
        choice_button(
            choice.label,
            choice.detail,
            choice.chosen,
            theme,
            lambda key=choice.key: act(ChooseScope(Scope(key))),  # type: ignore[misc]
            mark=f"scope-{choice.key}",
            height=80 if theme.landscape else 104,
            expand=1,
        )
        for choice in view.scopes
    ]
    note = say("What was read and done so far stays, whatever is chosen.")
    body: list[ft.Control] = [
        words(say("What is this visit for?"), theme, bold=True),
        grid(cells, 1),
        quiet(note, theme, size=theme.text_size * SMALL),
    ]
    return page(theme, view.title, body, on_back=lambda: act(Back()))


# --- the player ---


def player_screen(view: PlayerView, theme: Theme, act: Act) -> ft.Control:
    """Everything on one page, and nothing of it must be said."""
    still: list[ft.Control] = [title_row(theme, say("The player"), lambda: act(Back()))]
    tuned = quiet(say("It is tuned {pitches}.", pitches=view.tuning), theme)
    edge = ft.Container(height=2)  # the label of a field stands on its edge
    return two_sides(theme, still, [edge, _player(view, theme, act), tuned], [], "player")


@ft.component
def _player(view: PlayerView, theme: Theme, act: Act) -> ft.Control:
    """What is written and chosen lives here until it is handed on."""
    chosen = next((each.key == "yes" for each in view.overnight if each.chosen), None)
    stays, say_stays = ft.use_state(chosen)
    fields: tuple[ft.TextField, ...] = ft.use_memo(
        lambda: _fields(view, theme),
        [view.job, theme.palette, theme.text_size, theme.width, theme.scale, theme.language],
    )

    def save() -> None:
        likes, never, due = (field.value or "" for field in fields)
        act(SavePlayer(likes, never, due, stays))

    overnight: list[ft.Control] = [
        choice_button(
            choice.label,
            "",
            stays is (choice.key == "yes"),
            theme,
            lambda key=choice.key: say_stays(key == "yes"),  # type: ignore[misc]
            mark=f"overnight-{choice.key}",
            height=56,
            expand=1,
        )
        for choice in view.overnight
    ]
    go_on = main_button(say("Go on"), theme, save, mark="save-player")
    abreast = 1 if theme.scale > 1 else 2
    return ft.Column([*fields, grid(overnight, abreast), go_on], spacing=GAP * 1.5)


def _fields(view: PlayerView, theme: Theme) -> tuple[ft.TextField, ...]:
    width = list_width(theme)
    return (
        written(view.likes, theme, say("How they like it"), width, longest=LONGEST_WISH),
        written(view.never_change, theme, say("Never to change"), width, longest=LONGEST_WISH),
        written(view.due, theme, say("When it is wanted back"), width),
    )


# --- the look ---


def look_screen(view: LookView, theme: Theme, act: Act) -> ft.Control:
    """All at once: one tap says that all is as it should be; what is not says to stop here."""
    rows = [precondition(question, theme, act) for question in view.questions]
    body: list[ft.Control] = [grid(rows, 2, GAP * 2)] if theme.landscape else [*rows]
    if view.stop:
        body.insert(0, _stop(view.stop, theme))
    done = view.unanswered == 0
    label = say("To the stages") if view.stop else say("Go on")
    go_on = main_button(
        label if done else say("All else is fine") if view.stop else say("All as it should be"),
        theme,
        lambda: act(AllAsItShould()),
        mark="all-fine",
        expand=2,
    )
    foot: list[ft.Control] = [go_on]
    if not done:
        skip = plain_button(
            say("Skip"), theme, lambda: act(SkipLook()), mark="skip-look", expand=1, height=64
        )
        foot.insert(0, skip)
    return page(
        theme,
        say("One-minute look"),
        body,
        foot=[ft.Row(foot, spacing=GAP)],
        on_back=lambda: act(Back()),
    )


def _stop(text: str, theme: Theme) -> ft.Control:
    boxed = ft.Container(
        words(text, theme, bold=True), padding=12, border=ft.Border.all(2, theme.palette.alarm)
    )
    return ft.Semantics(container=True, live_region=True, identifier="stop", content=boxed)


# --- the stages ---


def stages_screen(view: StagesView, theme: Theme, act: Act) -> ft.Control:
    """Every part as a line that opens it; what comes next under the thumb."""
    small = theme.text_size * SMALL
    about = quiet(view.about, theme, size=small)
    undo, home = undo_beside(theme, act), lambda: act(GoHome())
    still = titled(theme, view.title, home, say("Home"), undo, UNDO)
    beside = theme.landscape and theme.scale <= 1
    moving: list[ft.Control] = [
        *([] if beside else [about]),
        *(words(note, theme, size=small, bold=True) for note in view.notes),
        *_lain(view, theme, act),
        *(_line(line, theme, act) for line in view.lines),
        plain_button(
            say("Strings, scale, nut, name"), theme, lambda: act(SeeTakenIn()), mark="taken-in"
        ),
    ]
    if beside:
        still.append(about)
    foot = [_beside_next(theme, act)]
    asked = next((line for line in view.lines if line.sure), None)
    if asked:
        foot = _sure(asked, theme, act)
    elif view.next:
        # so that it stays under the thumb in large text
        about_it = view.next.detail if theme.scale <= 1 else ""
        foot.append(brass(view.next.label, about_it, GoOnVisit(), "next", theme, act))
    return two_sides(theme, still, moving, foot, "stages")


def _beside_next(theme: Theme, act: Act) -> ft.Control:
    """What was done, what the visit is for, and the plan of the nut."""
    ways: tuple[tuple[str, str, Command], ...] = (
        (say("Visit"), "visit", SeeVisit()),
        (say("Plan"), "plan", SeePlan()),
        (say("What was done"), "step-done", SeeStepDone()),
    )
    room = side_width(theme)
    usual = theme.text_size
    size = usual if theme.scale > 1 else row_size((text for text, *_ in ways), room, usual)
    cells = [_way(*way, theme, act, size) for way in ways]
    return grid(cells, 1) if theme.scale > 1 else ft.Row(cells, spacing=GAP)


def _way(text: str, mark: str, command: Command, theme: Theme, act: Act, size: float) -> ft.Control:
    send = lambda: act(command)  # noqa: E731
    return plain_button(text, theme, send, mark=mark, expand=share_of(text), size=size)


def _lain(view: StagesView, theme: Theme, act: Act) -> list[ft.Control]:
    """That it has lain, and one tap that says that it rested."""
    if not view.lain:
        return []
    return [words(view.lain, theme), rested(theme, act)]


def _line(line: PartLine, theme: Theme, act: Act) -> ft.Control:
    """One part; beside it the way past it, or back to it."""
    opens = _opens(line, theme, act)
    aside = _aside(line, theme, act)
    return ft.Row([opens, aside], spacing=4) if aside else ft.Row([opens])


def _opens(line: PartLine, theme: Theme, act: Act) -> ft.Control:
    faint = line.standing in (PartStanding.STALE, PartStanding.SKIPPED, PartStanding.LATER)
    ink = theme.palette.quiet if faint else theme.palette.text
    large = theme.scale > 1
    name = words(line.name, theme, bold=True, color=ink, expand=None if large else True)
    stands = quiet(line.said, theme, size=theme.text_size * SMALL)
    said: list[ft.Control] = [name, stands] if large else [ft.Row([name, stands], spacing=GAP)]
    if line.detail:
        said.append(quiet(line.detail, theme, size=theme.text_size * 0.78))
    sign = words(_SIGNS[line.standing], theme, size=22.0, bold=True)
    sign.color = theme.palette.brass
    shown = ft.Row(
        [
            ft.Container(sign, width=24),
            ft.Column(said, spacing=0, expand=True, alignment=ft.MainAxisAlignment.CENTER),
        ],
        spacing=GAP,
    )
    return touch(
        at_least(TAP - 2 * ABOVE, shown, ft.Alignment.CENTER_LEFT),
        theme,
        lambda: act(OpenPart(line.part)),
        mark=f"part-{line.part.replace(' ', '-')}",
        label=". ".join(filter(None, (line.name, line.said, line.detail))),
        fill=theme.palette.surface,
        line=theme.palette.brass if line.standing is PartStanding.DUE else theme.palette.hairline,
        height=None,
        padding=ft.Padding.symmetric(horizontal=12, vertical=ABOVE),
        expand=1,
    )


def _aside(line: PartLine, theme: Theme, act: Act) -> ft.Control | None:
    if line.can_skip:
        return _beside(say("Skip"), "skip", SkipPart(line.part), line, theme, act)
    if line.can_reopen:
        return _beside(say("Take up"), "reopen", ReopenPart(line.part), line, theme, act)
    return None


def _beside(
    text: str, sort: str, command: Command, line: PartLine, theme: Theme, act: Act
) -> ft.Control:
    return plain_button(
        text,
        theme,
        lambda: act(command),
        mark=f"{sort}-{line.part.replace(' ', '-')}",
        label=f"{text}: {line.name}",
        width=ASIDE * theme.scale,
        size=theme.text_size * 0.8,
    )


def _sure(line: PartLine, theme: Theme, act: Act) -> list[ft.Control]:
    """What leaving it out bars, and both ways, under the thumb."""
    asked = words(f"{line.name}. {line.sure}", theme, bold=True)
    ways: list[ft.Control] = [
        plain_button(
            say("Keep it"), theme, lambda: act(OpenPart(line.part)), mark="keep-part", expand=1
        ),
        plain_button(
            say("Leave it out"),
            theme,
            lambda: act(SkipPart(line.part, sure=True)),
            mark="skip-sure",
            expand=1,
        ),
    ]
    return [
        ft.Semantics(live_region=True, container=True, content=asked),
        ft.Row(ways, spacing=GAP),
    ]
