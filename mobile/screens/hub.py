"""The hub of this bench: what it is, joining it, how things stand, leaving it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import flet as ft

from logic.desk.commands import Back, Command
from logic.desk.keeping_commands import (
    AskLeave,
    Erase,
    GiveCode,
    JoinHub,
    LeaveHub,
    MeetNow,
    ScanCode,
    SeeCode,
)
from logic.desk.keeping_views import CodeView, HubView, JoinView, SureView
from mobile.look import GAP, Look
from mobile.parts.basics import Act, grid, hairline, main_button, plain_button, quiet, touch, words
from mobile.parts.page import column, frame, noted, page, title_row
from mobile.parts.reflow import in_one_column
from mobile.parts.sides import side_width
from mobile.parts.writing import written
from shared.words import say


def hub_screen(view: HubView, look: Look, act: Act) -> ft.Control:
    """How things stand in one sentence, then what to do, then the facts."""
    state = words(
        view.state,
        look,
        bold=True,
        size=look.text_size * 1.15,
        color=look.palette.alarm if view.wants_help else None,
    )
    said = ft.Semantics(container=True, live_region=True, identifier="state", content=state)
    body: list[ft.Control] = [
        *([words(view.bench, look, size=look.text_size * 1.25, bold=True)] if view.bench else []),
        *([said] if view.state else []),
        *(words(line, look) for line in view.about),
        noted(view.note, look),
        *(facts(view.lines, look) if view.lines else []),
        *_refused(view, look),
    ]
    if view.joined:
        leave = lambda: act(AskLeave())  # noqa: E731
        body += [hairline(look), plain_button(say("Leave this hub"), look, leave, mark="leave")]
    return page(
        look,
        say("This bench's hub"),
        body,
        foot=_hub_foot(view, look, act),
        on_back=lambda: act(Back()),
    )


def _hub_foot(view: HubView, look: Look, act: Act) -> list[ft.Control]:
    join = say("Join again with a code") if view.joined else say("Join with a code")
    foot: list[ft.Control] = []
    if view.can_scan:
        scan = say("Take a photo of the code")
        foot.append(plain_button(scan, look, lambda: act(ScanCode()), mark="scan"))
    if view.can_join:
        foot.append(main_button(join, look, lambda: act(SeeCode()), mark="code"))
    if view.joined:
        meet = plain_button if view.can_join else main_button
        foot.append(meet(say("Meet now"), look, lambda: act(MeetNow()), mark="meet"))
    return foot


def _refused(view: HubView, look: Look) -> list[ft.Control]:
    if not view.refused:
        return []
    rows = [
        words(f"{entry}: {why}" if why else entry, look, size=look.text_size * 0.9)
        for entry, why in view.refused
    ]
    title = words(say("The hub did not take these; they are kept here"), look, bold=True)
    return [hairline(look), title, *rows]


def facts(lines: tuple[tuple[str, str], ...], look: Look) -> list[ft.Control]:
    """Names and what is true of them, a row each."""
    rows: list[ft.Control] = [
        ft.Semantics(
            container=True,
            content=ft.Row([quiet(name, look), words(value, look)], spacing=GAP, wrap=True),
        )
        for name, value in lines
    ]
    return [hairline(look), ft.Column(rows, spacing=4)]


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


def code_screen(view: CodeView, look: Look, act: Act) -> ft.Control:
    """A field and keys of our own, which need no keyboard of the device."""
    return frame(look, _code(view, look, act))


@ft.component
def _code(view: CodeView, look: Look, act: Act) -> ft.Control:
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

    width = side_width(look)
    field = written(
        given.text, look, say("Joining code"), width, on_change=given.write, on_enter=hand_on
    )
    keys = [_key(key, look, press) for key in (*view.letters, DELETE)]
    return _laid_out([quiet(view.about, look), field], keys, hand_on, look, act)


def _laid_out(
    asked: list[ft.Control],
    keys: list[ft.Control],
    hand_on: Callable[[], None],
    look: Look,
    act: Act,
) -> ft.Control:
    """The keys below what is asked; in landscape beside it, all of them in sight."""
    title, back = say("Joining code"), lambda: act(Back())
    go_on = main_button(say("Go on"), look, hand_on, mark="go-on")
    if not look.landscape or look.scale > 1:
        drawn = column(look, title, [*asked, grid(keys, 6, gap=4)], foot=[go_on], on_back=back)
        return in_one_column(drawn, look)
    spring = ft.Container(expand=True)
    rows = [title_row(look, title, back), *asked, spring, go_on]
    side = ft.Column(rows, spacing=GAP, width=side_width(look))
    pad = ft.ListView([grid(keys, 7, gap=4)], expand=True)
    sides: list[ft.Control] = [side, pad] if look.left_handed else [pad, side]
    return ft.Row(sides, spacing=GAP * 2, expand=True)


DELETE = "←"


def _key(key: str, look: Look, press: Callable[[str], None]) -> ft.Control:
    return touch(
        words(key, look, size=24, bold=True),
        look,
        lambda: press(key),
        mark=f"letter-{'Delete' if key == DELETE else key}",
        label=say("Delete") if key == DELETE else key,
        fill=look.palette.surface,
        line=look.palette.hairline,
        height=48,
        fixed=True,
        expand=1,
        padding=0,
        align=ft.Alignment.CENTER,
    )


def join_screen(view: JoinView, look: Look, act: Act) -> ft.Control:
    """What joining means, what this device is called, and the one button."""
    return frame(look, _join(view, look, act))


@ft.component
def _join(view: JoinView, look: Look, act: Act) -> ft.Control:
    """The name is kept while it is written."""
    given: Given | None = ft.use_ref(Given(view.label)).current
    assert given is not None
    title = say("Join this bench?") if view.joins else say("Joined already")
    body: list[ft.Control] = [
        words(view.address, look, bold=True),
        words(say("Code {code}", code=view.code), look, size=look.text_size * 1.15, bold=True),
        *(words(line, look) for line in view.about),
        noted(view.note, look),
    ]
    foot: list[ft.Control] = []
    if view.joins:
        name = written(
            given.text, look, say("Name of this device"), look.column, on_change=given.write
        )
        body += [quiet(say("The bench lists its devices by these names."), look), name]
        join = lambda: act(JoinHub(given.text))  # noqa: E731
        foot = [main_button(say("Join"), look, join, mark="join")]
    drawn = column(look, title, body, foot=foot, on_back=lambda: act(Back()))
    return in_one_column(drawn, look)


# --- before something that reaches far ---

_DOES: dict[str, Command] = {"leave": LeaveHub(), "erase": Erase()}


def sure_screen(view: SureView, look: Look, act: Act) -> ft.Control:
    """What follows, the way back first, and the deed."""
    body: list[ft.Control] = [words(line, look) for line in view.lines]
    yes = plain_button(view.yes, look, lambda: act(_DOES[view.does]), mark="yes", expand=1)
    no = plain_button(say("Keep as it is"), look, lambda: act(Back()), mark="no", expand=2)
    foot: list[ft.Control] = [ft.Row([yes, no], spacing=GAP)]
    return page(look, view.title, body, foot=foot, on_back=lambda: act(Back()))
