"""Home: one big way to start, and every open job where it was left."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from logic.app.commands.start_commands import (
    BringBack,
    NewJob,
    OpenJob,
    PutAway,
    ScanLabel,
    SeeInstruments,
    SeeKit,
    SeeRecords,
    SeeSettings,
    StartSample,
)
from logic.app.views.start_views import HomeView, JobLine
from mobile.parts.basics import Act, grid, heading, main_button, plain_button, quiet, touch, words
from mobile.parts.page import frame
from mobile.parts.text_metrics import SPACED_OUT, em, in_a_row, on_a_line, share_of, whole
from mobile.parts.theme import GAP, Theme
from shared.words import mark, say, say_many

if TYPE_CHECKING:
    from logic.app.commands.commands import Command

NAME = "Nutwright"


def home_screen(view: HomeView, theme: Theme, act: Act) -> ft.Control:
    """Portrait: the way to start under the thumb. Landscape: beside the jobs."""
    top = ft.Column(
        [
            heading(NAME, theme, size=whole(NAME, theme.column, theme.text_size * 1.9)),
            quiet(say("Measure a nut string by string; know what to do with each slot."), theme),
        ],
        spacing=2,
    )
    jobs = ft.ListView(_jobs(view, theme, act), spacing=GAP, expand=True)
    scan, entries = _scan(view, theme, act), _entries(theme, act)
    if theme.landscape:
        ways = ft.Column(entries, spacing=GAP)
        left = ft.Column([top, ft.Container(expand=True), ways], expand=1)
        right = ft.Column([jobs, *scan], spacing=GAP, expand=1)
        body: ft.Control = ft.Row([left, right], spacing=GAP * 2)
        return frame(theme, body)
    ways = ft.Column([*scan, *entries], spacing=GAP)
    column = ft.Column([top, jobs, ways], spacing=GAP * 1.5, expand=True)
    boxed = ft.Container(column, width=theme.column)
    return frame(theme, ft.Row([boxed], alignment=ft.MainAxisAlignment.CENTER, expand=True))


def _jobs(view: HomeView, theme: Theme, act: Act) -> list[ft.Control]:
    rows: list[ft.Control] = [
        ft.Container(
            words(notice, theme),
            padding=12,
            border=ft.Border.all(2, theme.palette.alarm),
        )
        for notice in view.notices
    ]
    nudge = [_nudge(view.nudge, theme, act)] if view.nudge else []
    if view.put_away:
        rows.append(_put_away(view.put_away, theme, act))
    if not view.jobs:
        return [*rows, *_first_time(theme, act), *nudge]
    rows.append(quiet(say("On the bench"), theme))
    older = [_older(view.more, theme, act)] if view.more else []
    return [*rows, *(_job_row(line, theme, act) for line in view.jobs), *older, *nudge]


def _older(count: int, theme: Theme, act: Act) -> ft.Control:
    """The way to open jobs that the list has no room for."""
    text = say_many(
        "{count} older job is open: find it by its instrument.",
        "{count} older jobs are open: find them by their instruments.",
        count,
    )
    return touch(
        quiet(text, theme, lines=3),
        theme,
        lambda: act(SeeInstruments()),
        mark="older",
        line=theme.palette.hairline,
        height=100,
    )


def _nudge(text: str, theme: Theme, act: Act) -> ft.Control:
    """A word that can be followed, below the work."""
    return touch(
        quiet(text, theme, size=theme.text_size * 0.85, lines=3),
        theme,
        lambda: act(SeeRecords()),
        mark="nudge",
        line=theme.palette.hairline,
        height=96,
    )


STEPS = (
    ("1", mark("Say what lies on the bench.")),
    ("2", mark("Slide in the leaf it names; say what the hand feels.")),
    ("3", mark("See what to do with each slot, and why.")),
)


def _first_time(theme: Theme, act: Act) -> list[ft.Control]:
    """What there is to it, for somebody who has read nothing."""
    steps: list[ft.Control] = [
        ft.Row(
            [
                words(
                    number, theme, size=theme.text_size * 2, bold=True, color=theme.palette.brass
                ),
                words(say(text), theme, size=theme.text_size * 1.1, expand=True),
            ],
            spacing=GAP * 2,
        )
        for number, text in STEPS
    ]
    sample = plain_button(
        say("Try it on a sample"), theme, lambda: act(StartSample()), mark="sample"
    )
    return [*steps, sample]


def _job_row(line: JobLine, theme: Theme, act: Act) -> ft.Control:
    """A job where it was left; beside it the way to put it away while nothing was read."""
    if not line.puts_away:
        return _job(line, theme, act)
    text = say("Put away")
    size = on_a_line(text, AWAY - 10, 15.0) if theme.scale <= 1 else theme.text_size * 0.8
    away = plain_button(
        text,
        theme,
        lambda: act(PutAway(line.job)),
        mark=f"away-{line.job}",
        label=say("Put away: {title}. {detail}", title=line.title, detail=line.detail),
        height=72,
        width=AWAY * theme.scale,
        size=size,
    )
    return ft.Row([_job(line, theme, act, expand=1), away], spacing=4)


def _put_away(job: str, theme: Theme, act: Act) -> ft.Control:
    """What was put away a moment ago, and the way to bring it back."""
    announced = words(say("Put away. Nothing had been read."), theme, expand=True)
    back = plain_button(
        say("Bring back"),
        theme,
        lambda: act(BringBack(job)),
        mark="bring-back",
        width=AWAY * 1.4 * theme.scale,
    )
    return ft.Semantics(live_region=True, container=True, content=ft.Row([announced, back]))


def _list_width(theme: Theme) -> float:
    """The width of the jobs: beside the ways on a screen on its side."""
    if not theme.landscape:
        return theme.column
    return (theme.width - 2 * theme.margin - GAP * 2) / 2


def _detail_size(line: JobLine, theme: Theme) -> float:
    """As large as text where it stands on one line, else small enough for two."""
    beside = AWAY + 4 if line.puts_away else 0.0
    fits = em(line.detail) * theme.text_size * SPACED_OUT <= _list_width(theme) - beside - 26
    return theme.text_size if fits or theme.scale > 1 else theme.text_size * 0.78


def _job(line: JobLine, theme: Theme, act: Act, expand: int | None = None) -> ft.Control:
    return touch(
        ft.Column(
            [
                words(line.title, theme, bold=True, lines=1),
                quiet(line.detail, theme, size=_detail_size(line, theme), lines=2),
            ],
            spacing=0,
            alignment=ft.MainAxisAlignment.CENTER,
        ),
        theme,
        lambda: act(OpenJob(line.job)),
        mark=f"job-{line.job}",
        label=f"{line.title}. {line.detail}",
        fill=theme.palette.surface,
        line=theme.palette.hairline,
        height=72,
        padding=ft.Padding.symmetric(horizontal=12),
        expand=expand,
    )


AWAY = 92.0
"""Width of the way to put a job away, beside it."""
ABREAST = 340.0
"""The least width in which the four ways beside the main one stand in one row."""


def _scan(view: HomeView, theme: Theme, act: Act) -> list[ft.Control]:
    """The way to an instrument by its label; upright above the other ways, in landscape below the
    jobs: nothing else moves when it becomes known that this device reads one."""
    if not view.scans:
        return []
    scan = lambda: act(ScanLabel())  # noqa: E731
    button = plain_button(say("Scan a label"), theme, scan, mark="scan", height=48.0, expand=1)
    return [ft.Row([button])]


def _entries(theme: Theme, act: Act) -> list[ft.Control]:
    beside: tuple[tuple[str, str, Command], ...] = (
        (say("Instruments"), "instruments", SeeInstruments()),
        (say("Kit"), "kit", SeeKit()),
        (say("Records"), "records", SeeRecords()),
        (say("Settings"), "settings", SeeSettings()),
    )
    room = (theme.width - 2 * theme.margin) / 2 if theme.landscape else theme.column
    size = 15.0 * theme.scale
    abreast = room >= ABREAST and in_a_row((text for text, *_ in beside), size, room)
    cells = [_entry_beside(*way, theme, act, abreast) for way in beside]
    height = 84 if abreast or not theme.landscape else 64
    return [
        grid(cells, 4 if abreast else 2),
        main_button(
            say("Start a job"), theme, lambda: act(NewJob()), mark="new-job", height=height
        ),
    ]


def _entry_beside(
    text: str, mark: str, command: Command, theme: Theme, act: Act, abreast: bool
) -> ft.Control:
    return plain_button(
        text,
        theme,
        lambda: act(command),
        mark=mark,
        expand=share_of(text) if abreast else 1,
        size=15.0 * theme.scale,
        height=56.0 if abreast else 48.0,
    )
