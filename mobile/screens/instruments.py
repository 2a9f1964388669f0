"""The list of instruments: find one, or choose several to check in a row."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import GoHome
from logic.desk.instrument_commands import (
    CheckRack,
    ChooseInstrument,
    ChooseSeveral,
    FindInstruments,
    NextInRack,
    QuickCheck,
    SeeInstrument,
    TurnPage,
)
from logic.desk.instrument_views import InstrumentLine, InstrumentsView
from mobile.letters import on_a_line
from mobile.look import GAP, Look
from mobile.parts.basics import Act, main_button, plain_button, quiet, touch, words
from mobile.parts.page import title_row
from mobile.parts.sides import side_width, titled, two_sides
from mobile.parts.writing import written
from shared.words import say, say_many

SEVERAL = 116.0
"""Width of the way to a check of several, beside the title."""
AROUND = 12.0
"""Its edges and padding."""


def instruments_screen(view: InstrumentsView, look: Look, act: Act) -> ft.Control:
    """A page of the list; what is written narrows it down as it is written."""
    title, home = _title(view), lambda: act(GoHome())
    several = _several(view, look, act)
    beside = look.landscape and look.scale <= 1  # there the title needs its row
    still = [
        *(
            [title_row(look, title, home, say("Home"))]
            if beside
            else titled(look, title, home, say("Home"), several, width=SEVERAL)
        ),
        _finder(view.query, look, act),
        quiet(view.count, look, size=look.text_size * 0.8),
    ]
    rows = [_row(line, view, look, act) for line in view.lines]
    foot = _foot(view, look, act, several if beside else None)
    return two_sides(look, still, rows or _nothing(view, look), foot, f"instruments {view.count}")


def _title(view: InstrumentsView) -> str:
    if view.choosing:
        return say("Which ones?")
    return say("Quick check") if view.checking else say("Instruments")


def _several(view: InstrumentsView, look: Look, act: Act) -> ft.Control:
    """Begin or end choosing instruments to check in a row."""
    text = say("Cancel") if view.choosing else say("Check several")
    usual = 15.0 * look.scale
    return plain_button(
        text,
        look,
        lambda: act(ChooseSeveral(not view.choosing)),
        mark="several",
        height=52,
        size=usual if look.scale > 1 else on_a_line(text, SEVERAL - AROUND, usual),
        expand=1 if look.landscape and look.scale <= 1 else None,
    )


@ft.component
def _finder(query: str, look: Look, act: Act) -> ft.Control:
    """The words to find by. The field is kept while they are written."""

    def made() -> ft.TextField:
        find = lambda text: act(FindInstruments(text))  # noqa: E731
        return written(query, look, say("Label, kind or owner"), side_width(look), on_change=find)

    kept_for = [look.palette, look.text_size, look.width, look.scale, look.language]
    field: ft.TextField = ft.use_memo(made, kept_for)
    return field


def _nothing(view: InstrumentsView, look: Look) -> list[ft.Control]:
    if view.query:
        return [words(say("No label, kind or owner has a word that begins like this."), look)]
    on_record = words(say("An instrument is on record once a job was started on it."), look)
    needs = [words(say("A quick check needs one job that measured it."), look)]
    return [on_record, *(needs if view.checking else [])]


def _row(line: InstrumentLine, view: InstrumentsView, look: Look, act: Act) -> ft.Control:
    chosen = view.choosing and line.chosen
    ink = look.palette.on_brass if chosen else None
    soft = look.palette.on_brass if chosen else look.palette.quiet
    name = words(line.title, look, bold=True, lines=1, color=ink)
    detail = words(line.detail, look, size=look.text_size * 0.8, lines=1, color=soft)
    text = ft.Column([name, detail], spacing=0, alignment=ft.MainAxisAlignment.CENTER, expand=True)
    sign = words("✓" if chosen else "", look, size=24, bold=True, color=ink)
    name_of = line.instrument
    sends = QuickCheck if view.checking else SeeInstrument
    command = ChooseInstrument(name_of) if view.choosing else sends(name_of)
    return touch(
        ft.Row([text, sign], spacing=GAP),
        look,
        lambda: act(command),
        mark=f"instrument-{name_of}",
        label=f"{line.title}. {line.detail}",
        fill=look.palette.brass if chosen else look.palette.surface,
        line=look.palette.hairline,
        height=64,
        padding=ft.Padding.symmetric(horizontal=12),
        chosen=chosen if view.choosing else None,
    )


def _foot(
    view: InstrumentsView, look: Look, act: Act, several: ft.Control | None
) -> list[ft.Control]:
    beside = [several] if several else []
    pages = _pages(view, look, act) if view.earlier or view.later else []
    foot: list[ft.Control] = [ft.Row([*beside, *pages], spacing=GAP)] if beside or pages else []
    if view.chosen:
        count = say_many("Check this one", "Check {count} in a row", view.chosen)
        foot.append(main_button(count, look, lambda: act(CheckRack()), mark="check-rack"))
    elif view.following and not view.choosing:
        following = say("Go on checking: {title}", title=view.following)
        foot.append(plain_button(following, look, lambda: act(NextInRack()), mark="next"))
    return foot


def _pages(view: InstrumentsView, look: Look, act: Act) -> list[ft.Control]:
    ways = ((say("Earlier"), "earlier", -1, view.earlier), (say("Later"), "later", 1, view.later))
    return [
        plain_button(
            text,
            look,
            lambda pages=pages: act(TurnPage(pages)),  # type: ignore[misc]
            mark=mark,
            expand=1,
        )
        if there
        else ft.Container(expand=1)
        for text, mark, pages, there in ways
    ]
