"""The hub of this bench: what it is, joining it, how things stand, leaving it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import flet as ft

from logic.app.commands.commands import Back, Command
from logic.app.commands.record_commands import (
    AskLeave,
    Erase,
    GiveCode,
    JoinHub,
    LeaveHub,
    MeetNow,
    ScanCode,
    SeeCode,
)
from logic.app.views.record_views import CodeView, HubView, JoinView, SureView
from mobile.parts.basics import Act, grid, hairline, main_button, plain_button, quiet, touch, words
from mobile.parts.page import column, frame, noted, page, title_row
from mobile.parts.reflow import in_one_column
from mobile.parts.sides import side_width
from mobile.parts.theme import GAP, Theme
from mobile.parts.writing import written
from shared.words import say


def hub_screen(view: HubView, theme: Theme, act: Act) -> ft.Control:
    """How things stand in one sentence, then what to do, then the facts."""
    state = words(
        view.state,
        theme,
        bold=True,
        size=theme.text_size * 1.15,
        color=theme.palette.alarm if view.wants_help else None,
    )
    said = ft.Semantics(container=True, live_region=True, identifier="state", content=state)
    body: list[ft.Control] = [
        *([words(view.bench, theme, size=theme.text_size * 1.25, bold=True)] if view.bench else []),
        *([said] if view.state else []),
        *(words(line, theme) for line in view.about),
        noted(view.note, theme),
        *(facts(view.lines, theme) if view.lines else []),
        *_refused(view, theme),
    ]
    if view.joined:
        leave = lambda: act(AskLeave())  # noqa: E731
        body += [hairline(theme), plain_button(say("Leave this hub"), theme, leave, mark="leave")]
    return page(
        theme,
        say("This bench's hub"),
        body,
        foot=_hub_buttons(view, theme, act),
        on_back=lambda: act(Back()),
    )


def _hub_buttons(view: HubView, theme: Theme, act: Act) -> list[ft.Control]:
    join = say("Join again with a code") if view.joined else say("Join with a code")
    foot: list[ft.Control] = []
    if view.can_scan:
        scan = say("Take a photo of the code")
        foot.append(plain_button(scan, theme, lambda: act(ScanCode()), mark="scan"))
    if view.can_join:
        foot.append(main_button(join, theme, lambda: act(SeeCode()), mark="code"))
    if view.joined:
        meet = plain_button if view.can_join else main_button
        foot.append(meet(say("Meet now"), theme, lambda: act(MeetNow()), mark="meet"))
    return foot


def _refused(view: HubView, theme: Theme) -> list[ft.Control]:
    if not view.refused:
        return []
    rows = [
        words(f"{entry}: {why}" if why else entry, theme, size=theme.text_size * 0.9)
        for entry, why in view.refused
    ]
    title = words(say("The hub did not take these; they are kept here"), theme, bold=True)
    return [hairline(theme), title, *rows]


def facts(lines: tuple[tuple[str, str], ...], theme: Theme) -> list[ft.Control]:
    """Names and what is true of them, a row each."""
    rows: list[ft.Control] = [
        ft.Semantics(
            container=True,
            content=ft.Row([quiet(name, theme), words(value, theme)], spacing=GAP, wrap=True),
        )
        for name, value in lines
    ]
    return [hairline(theme), ft.Column(rows, spacing=4)]


# --- joining ---


@dataclass
class Given:
    """What was written or pressed so far, kept outside what was drawn: fast fingers are ahead of
    the screen."""

    text: str = ""

    def write(self, text: str) -> None:
        """The field now holds this."""
        self.text = text

    def press(self, key: str, length: int) -> None:
        """One letter more, as long as a code of this length has room, or one less."""
        if key == DELETE:
            self.text = self.text[:-1]
        elif sum(letter.isalnum() for letter in self.text) < length:
            self.text += key


def code_screen(view: CodeView, theme: Theme, act: Act) -> ft.Control:
    """A field and keys of our own, which need no keyboard of the device."""
    return frame(theme, _code(view, theme, act))


@ft.component
def _code(view: CodeView, theme: Theme, act: Act) -> ft.Control:
    """The letters given so far live here until they are handed on."""
    given: Given | None = ft.use_ref(Given()).current
    assert given is not None
    _, redraw = ft.use_state(0)

    def press(key: str) -> None:
        given.press(key, view.length)
        redraw(lambda drawn: drawn + 1)

    def hand_on() -> None:
        if given.text:
            act(GiveCode(given.text))

    width = side_width(theme)
    field = written(
        given.text, theme, say("Joining code"), width, on_change=given.write, on_enter=hand_on
    )
    keys = [_letter_key(key, theme, press) for key in (*view.letters, DELETE)]
    return _laid_out([quiet(view.about, theme), field], keys, hand_on, theme, act)


def _laid_out(
    asked: list[ft.Control],
    keys: list[ft.Control],
    hand_on: Callable[[], None],
    theme: Theme,
    act: Act,
) -> ft.Control:
    """The keys below what is asked; in landscape beside it, all of them in sight."""
    title, back = say("Joining code"), lambda: act(Back())
    go_on = main_button(say("Go on"), theme, hand_on, mark="go-on")
    if not theme.landscape or theme.scale > 1:
        drawn = column(theme, title, [*asked, grid(keys, 6, gap=4)], foot=[go_on], on_back=back)
        return in_one_column(drawn, theme)
    spring = ft.Container(expand=True)
    rows = [title_row(theme, title, back), *asked, spring, go_on]
    side = ft.Column(rows, spacing=GAP, width=side_width(theme))
    pad = ft.ListView([grid(keys, 7, gap=4)], expand=True)
    sides: list[ft.Control] = [side, pad] if theme.left_handed else [pad, side]
    return ft.Row(sides, spacing=GAP * 2, expand=True)


DELETE = "←"


def _letter_key(key: str, theme: Theme, press: Callable[[str], None]) -> ft.Control:
    return touch(
        words(key, theme, size=24, bold=True),
        theme,
        lambda: press(key),
        mark=f"letter-{'Delete' if key == DELETE else key}",
        label=say("Delete") if key == DELETE else key,
        fill=theme.palette.surface,
        line=theme.palette.hairline,
        height=48,
        fixed=True,
        expand=1,
        padding=0,
        align=ft.Alignment.CENTER,
    )


def join_screen(view: JoinView, theme: Theme, act: Act) -> ft.Control:
    """What joining means, what this device is called, and the one button."""
    return frame(theme, _join(view, theme, act))


@ft.component
def _join(view: JoinView, theme: Theme, act: Act) -> ft.Control:
    """The name is kept while it is written."""
    given: Given | None = ft.use_ref(Given(view.label)).current
    assert given is not None
    title = say("Join this bench?") if view.joins else say("Joined already")
    body: list[ft.Control] = [
        words(view.address, theme, bold=True),
        words(say("Code {code}", code=view.code), theme, size=theme.text_size * 1.15, bold=True),
        *(words(line, theme) for line in view.about),
        noted(view.note, theme),
    ]
    foot: list[ft.Control] = []
    if view.joins:
        name = written(
            given.text, theme, say("Name of this device"), theme.column, on_change=given.write
        )
        body += [quiet(say("The bench lists its devices by these names."), theme), name]
        join = lambda: act(JoinHub(given.text))  # noqa: E731
        foot = [main_button(say("Join"), theme, join, mark="join")]
    drawn = column(theme, title, body, foot=foot, on_back=lambda: act(Back()))
    return in_one_column(drawn, theme)


# --- before something that reaches far ---

_DOES: dict[str, Command] = {"leave": LeaveHub(), "erase": Erase()}


def sure_screen(view: SureView, theme: Theme, act: Act) -> ft.Control:
    """What follows from it; then the way back, before the button that does it."""
    body: list[ft.Control] = [words(line, theme) for line in view.lines]
    yes = plain_button(view.yes, theme, lambda: act(_DOES[view.does]), mark="yes", expand=1)
    no = plain_button(say("Keep as it is"), theme, lambda: act(Back()), mark="no", expand=2)
    foot: list[ft.Control] = [ft.Row([yes, no], spacing=GAP)]
    return page(theme, view.title, body, foot=foot, on_back=lambda: act(Back()))
