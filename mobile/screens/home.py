"""Home: one big way to start, and every open job where it was left."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from logic.desk.porch_commands import (
    NewJob,
    OpenJob,
    SeeInstruments,
    SeeKit,
    SeeRecords,
    SeeSettings,
    StartSample,
)
from logic.desk.porch_views import HomeView, JobLine
from mobile.letters import in_a_row, share_of, whole
from mobile.look import GAP, Look
from mobile.parts.basics import Act, grid, heading, main_button, plain_button, quiet, touch, words
from mobile.parts.page import frame
from shared.words import mark, say, say_many

if TYPE_CHECKING:
    from logic.desk.commands import Command

NAME = "Nutwright"


def home_screen(view: HomeView, look: Look, act: Act) -> ft.Control:
    """Portrait: the way to start under the thumb. Landscape: beside the jobs."""
    top = ft.Column(
        [
            heading(NAME, look, size=whole(NAME, look.column, look.text_size * 1.9)),
            quiet(say("Measure a nut string by string; know what to do with each slot."), look),
        ],
        spacing=2,
    )
    jobs = ft.ListView(_jobs(view, look, act), spacing=GAP, expand=True)
    ways = ft.Column(_ways(look, act), spacing=GAP)
    if look.landscape:
        left = ft.Column([top, ft.Container(expand=True), ways], expand=1)
        body: ft.Control = ft.Row([left, ft.Container(jobs, expand=1)], spacing=GAP * 2)
        return frame(look, body)
    column = ft.Column([top, jobs, ways], spacing=GAP * 1.5, expand=True)
    boxed = ft.Container(column, width=look.column)
    return frame(look, ft.Row([boxed], alignment=ft.MainAxisAlignment.CENTER, expand=True))


def _jobs(view: HomeView, look: Look, act: Act) -> list[ft.Control]:
    rows: list[ft.Control] = [
        ft.Container(
            words(notice, look),
            padding=12,
            border=ft.Border.all(2, look.palette.alarm),
        )
        for notice in view.notices
    ]
    nudge = [_nudge(view.nudge, look, act)] if view.nudge else []
    if not view.jobs:
        return [*rows, *_first_time(look, act), *nudge]
    rows.append(quiet(say("On the bench"), look))
    older = [_older(view.more, look, act)] if view.more else []
    return [*rows, *(_job(line, look, act) for line in view.jobs), *older, *nudge]


def _older(count: int, look: Look, act: Act) -> ft.Control:
    """The way to open jobs that the list has no room for."""
    text = say_many(
        "{count} older job is open: find it by its instrument.",
        "{count} older jobs are open: find them by their instruments.",
        count,
    )
    return touch(
        quiet(text, look, lines=3),
        look,
        lambda: act(SeeInstruments()),
        mark="older",
        line=look.palette.hairline,
        height=100,
    )


def _nudge(text: str, look: Look, act: Act) -> ft.Control:
    """A word that can be followed, below the work."""
    return touch(
        quiet(text, look, size=look.text_size * 0.85, lines=3),
        look,
        lambda: act(SeeRecords()),
        mark="nudge",
        line=look.palette.hairline,
        height=96,
    )


STEPS = (
    ("1", mark("Say what lies on the bench.")),
    ("2", mark("Slide in the leaf it names; say what the hand feels.")),
    ("3", mark("See what to do with each slot, and why.")),
)


def _first_time(look: Look, act: Act) -> list[ft.Control]:
    """What there is to it, for somebody who has read nothing."""
    steps: list[ft.Control] = [
        ft.Row(
            [
                words(number, look, size=look.text_size * 2, bold=True, color=look.palette.brass),
                words(say(text), look, size=look.text_size * 1.1, expand=True),
            ],
            spacing=GAP * 2,
        )
        for number, text in STEPS
    ]
    sample = plain_button(
        say("Try it on a sample"), look, lambda: act(StartSample()), mark="sample"
    )
    return [*steps, sample]


def _job(line: JobLine, look: Look, act: Act) -> ft.Control:
    return touch(
        ft.Column(
            [words(line.title, look, bold=True, lines=1), quiet(line.detail, look, lines=1)],
            spacing=0,
            alignment=ft.MainAxisAlignment.CENTER,
        ),
        look,
        lambda: act(OpenJob(line.job)),
        mark=f"job-{line.job}",
        label=f"{line.title}. {line.detail}",
        fill=look.palette.surface,
        line=look.palette.hairline,
        height=72,
    )


ABREAST = 340.0
"""The least width in which the four ways beside the main one stand in one row."""


def _ways(look: Look, act: Act) -> list[ft.Control]:
    beside: tuple[tuple[str, str, Command], ...] = (
        (say("Instruments"), "instruments", SeeInstruments()),
        (say("Kit"), "kit", SeeKit()),
        (say("Records"), "records", SeeRecords()),
        (say("Settings"), "settings", SeeSettings()),
    )
    room = (look.width - 2 * look.margin) / 2 if look.landscape else look.column
    size = 15.0 * look.scale
    abreast = room >= ABREAST and in_a_row((text for text, *_ in beside), size, room)
    cells = [_beside(*way, look, act, abreast) for way in beside]
    height = 84 if abreast or not look.landscape else 64
    return [
        grid(cells, 4 if abreast else 2),
        main_button(say("Start a job"), look, lambda: act(NewJob()), mark="new-job", height=height),
    ]


def _beside(
    text: str, mark: str, command: Command, look: Look, act: Act, abreast: bool
) -> ft.Control:
    return plain_button(
        text,
        look,
        lambda: act(command),
        mark=mark,
        expand=share_of(text) if abreast else 1,
        size=15.0 * look.scale,
        height=56.0 if abreast else 48.0,
    )
