"""The list of instruments: find one, or choose several to check in a row."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Command, GoHome
from logic.app.commands.instrument_commands import (
    CheckRack,
    ChooseInstrument,
    ChooseSeveral,
    FindInstruments,
    NextInRack,
    QuickCheck,
    SeeInstrument,
    TurnPage,
)
from logic.app.commands.label_commands import SeeFindLabel, SeeLabels
from logic.app.views.instrument_views import InstrumentLine, InstrumentsView
from mobile.parts.basics import Act, main_button, plain_button, quiet, touch, words
from mobile.parts.page import title_row
from mobile.parts.sides import side_width, titled, two_sides
from mobile.parts.text_metrics import on_a_line
from mobile.parts.theme import GAP, Theme
from mobile.parts.writing import written
from shared.words import say, say_many

SEVERAL = 116.0
"""Width of the way to a check of several, beside the title."""
LOW = 620.0
"""A screen lower than this keeps its foot for what leads on: the ways to labels head its list."""
AROUND = 12.0
"""Its edges and padding."""


def instruments_screen(view: InstrumentsView, theme: Theme, act: Act) -> ft.Control:
    """A page of the list; what is written narrows it down as it is written."""
    title, home = _title(view), lambda: act(GoHome())
    several = _several(view, theme, act)
    beside = theme.landscape and theme.scale <= 1  # there the title needs its row
    still = [
        *(
            [title_row(theme, title, home, say("Home"))]
            if beside
            else titled(theme, title, home, say("Home"), several, width=SEVERAL)
        ),
        _finder(view.query, theme, act),
        quiet(view.count, theme, size=theme.text_size * 0.8),
    ]
    rows = [_instrument_row(line, view, theme, act) for line in view.lines]
    rows = rows or _nothing(view, theme)
    labels = _labels(view, theme, act)
    foot = _list_buttons(view, theme, act, several if beside else None)
    if labels and _is_low(theme):
        rows.insert(0, labels)
    elif labels:
        foot.insert(0, labels)
    return two_sides(theme, still, rows, foot, f"instruments {view.count}")


def _is_low(theme: Theme) -> bool:
    """Whether the foot has no room for one row more."""
    return theme.height < LOW * theme.scale


def _labels(view: InstrumentsView, theme: Theme, act: Act) -> ft.Control | None:
    """The ways to printed labels and to an instrument by its label; while choosing, to the labels
    of the chosen ones; none where there is nothing to print."""
    if (view.choosing and not view.chosen) or not (view.lines or view.query):
        return None
    one_or_more = say_many("Print its label", "Print {count} labels", view.chosen)
    text = one_or_more if view.choosing else say("Print labels")
    cells: list[tuple[str, str, Command]] = [(text, "labels", SeeLabels())]
    if not view.choosing:
        cells.insert(0, (say("Scan a label"), "find-label", SeeFindLabel()))
    return ft.Row(
        [
            plain_button(
                text,
                theme,
                lambda command=command: act(command),  # type: ignore[misc]
                mark=mark,
                expand=len(text) + 4,
            )
            for text, mark, command in cells
        ],
        spacing=GAP,
    )


def _title(view: InstrumentsView) -> str:
    if view.choosing:
        return say("Which ones?")
    return say("Quick check") if view.checking else say("Instruments")


def _several(view: InstrumentsView, theme: Theme, act: Act) -> ft.Control:
    """Begin or end choosing instruments to check in a row."""
    text = say("Cancel") if view.choosing else say("Check several")
    usual = 15.0 * theme.scale
    return plain_button(
        text,
        theme,
        lambda: act(ChooseSeveral(not view.choosing)),
        mark="several",
        height=52,
        size=usual if theme.scale > 1 else on_a_line(text, SEVERAL - AROUND, usual),
        expand=1 if theme.landscape and theme.scale <= 1 else None,
    )


@ft.component
def _finder(query: str, theme: Theme, act: Act) -> ft.Control:
    """The words to find by. The field is kept while they are written."""

    def made() -> ft.TextField:
        find = lambda text: act(FindInstruments(text))  # noqa: E731
        return written(query, theme, say("Label, kind or owner"), side_width(theme), on_change=find)

    kept_for = [theme.palette, theme.text_size, theme.width, theme.scale, theme.language]
    field: ft.TextField = ft.use_memo(made, kept_for)
    return field


def _nothing(view: InstrumentsView, theme: Theme) -> list[ft.Control]:
    if view.query:
        return [words(say("No label, kind or owner has a word that begins like this."), theme)]
    on_record = words(say("An instrument is on record once a job was started on it."), theme)
    needs = [words(say("A quick check needs one job that measured it."), theme)]
    return [on_record, *(needs if view.checking else [])]


def _instrument_row(
    line: InstrumentLine, view: InstrumentsView, theme: Theme, act: Act
) -> ft.Control:
    chosen = view.choosing and line.chosen
    ink = theme.palette.on_brass if chosen else None
    soft = theme.palette.on_brass if chosen else theme.palette.quiet
    name = words(line.title, theme, bold=True, lines=1, color=ink)
    detail = words(line.detail, theme, size=theme.text_size * 0.8, lines=1, color=soft)
    text = ft.Column([name, detail], spacing=0, alignment=ft.MainAxisAlignment.CENTER, expand=True)
    sign = words("✓" if chosen else "", theme, size=24, bold=True, color=ink)
    name_of = line.instrument
    sends = QuickCheck if view.checking else SeeInstrument
    command = ChooseInstrument(name_of) if view.choosing else sends(name_of)
    return touch(
        ft.Row([text, sign], spacing=GAP),
        theme,
        lambda: act(command),
        mark=f"instrument-{name_of}",
        label=f"{line.title}. {line.detail}",
        fill=theme.palette.brass if chosen else theme.palette.surface,
        line=theme.palette.hairline,
        height=64,
        padding=ft.Padding.symmetric(horizontal=12),
        chosen=chosen if view.choosing else None,
    )


def _list_buttons(
    view: InstrumentsView, theme: Theme, act: Act, several: ft.Control | None
) -> list[ft.Control]:
    beside = [several] if several else []
    pages = _pages(view, theme, act) if view.earlier or view.later else []
    foot: list[ft.Control] = [ft.Row([*beside, *pages], spacing=GAP)] if beside or pages else []
    if view.chosen:
        count = say_many("Check this one", "Check {count} in a row", view.chosen)
        foot.append(main_button(count, theme, lambda: act(CheckRack()), mark="check-rack"))
    elif view.following and not view.choosing:
        following = say("Go on checking: {title}", title=view.following)
        foot.append(plain_button(following, theme, lambda: act(NextInRack()), mark="next"))
    return foot


def _pages(view: InstrumentsView, theme: Theme, act: Act) -> list[ft.Control]:
    ways = (
        (say("Previous page"), "earlier", -1, view.earlier),
        (say("Next page"), "later", 1, view.later),
    )
    return [
        plain_button(
            text,
            theme,
            lambda pages=pages: act(TurnPage(pages)),  # type: ignore[misc]
            mark=mark,
            expand=1,
        )
        if there
        else ft.Container(expand=1)
        for text, mark, pages, there in ways
    ]
